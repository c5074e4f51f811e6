"""The error tree: everything Refledge raises on purpose.

RefledgeError
├── InputError        the user's files or arguments are wrong (exit status 2)
│   └── BriefError    a brief with one or more problems, all of them listed
├── DataError         one of our own tables is wrong
├── GeometryError     a solid could not be made, or is not a valid single body
│   └── WishError     the brief's own wishes cannot be met together (exit status 2)
├── AnalysisError     a solve did not converge or has no unique answer
├── FlightError       no operating point exists (cannot lift, cannot spin)
├── BuildError        the build folder could not be written
└── StoreError        the bench store could not be read or written
"""

from dataclasses import dataclass


class RefledgeError(Exception):
    """Base of every error that Refledge raises on purpose."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input: where, what was given, what is allowed, what to do."""

    where: str
    """File and line, such as ``brief.toml:12``."""
    field: str
    """Dotted field name, such as ``motor.mass``."""
    given: str
    allowed: str
    next_step: str

    def __str__(self) -> str:
        return (
            f"{self.where}: {self.field}: given {self.given}; "
            f"allowed: {self.allowed}; {self.next_step}"
        )


class InputError(RefledgeError):
    """Wrong input, as a list of problems that each say where and what to do next."""

    def __init__(self, *problems: Problem) -> None:
        self.problems = problems
        super().__init__("\n".join(str(problem) for problem in problems))


class BriefError(InputError):
    """A brief that cannot be used; ``problems`` holds all that is wrong with it."""


class DataError(RefledgeError):
    """A table that ships with Refledge is malformed."""


class GeometryError(RefledgeError):
    """A solid could not be made, or is not one valid closed body."""


class WishError(GeometryError):
    """What the brief asks for cannot be drawn together; its text names the fields to change."""


class AnalysisError(RefledgeError):
    """A structural solve failed: singular, not converged, or badly posed."""


class FlightError(RefledgeError):
    """No operating point exists for the rotors and battery given."""


class BuildError(RefledgeError):
    """The build folder could not be written; what stood there before still stands."""


class StoreError(RefledgeError):
    """The store could not be read or written; what was saved before still stands."""
