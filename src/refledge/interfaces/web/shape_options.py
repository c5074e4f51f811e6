"""What the page asks of a grown arm, read as ``refledge shape`` reads its options."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from refledge.errors import InputError
from refledge.interfaces.bench_options import wrong
from refledge.interfaces.web.crash_options import at_page
from refledge.interfaces.web.refusals import RequestError

if TYPE_CHECKING:
    from refledge.shaping.shape import Wish

DEFAULTS: Mapping[str, str] = {"voxel": "1.5 mm", "iterations": "30", "solved": "no"}
"""Coarser than the command's: somebody waits in front of the page. solved: whether both arms are
solved again as printed, which takes minutes and gives a record that the airframe can take."""
STEPS = range(5, 201)
"""Fewer say nothing; more take longer than anyone waits in front of a page (a choice)."""


def shape_asked(options: Mapping[str, Any]) -> tuple["Wish", bool]:
    """The wish in SI, and whether the arm is solved again.

    Raises RequestError for a wrong form, InputError for a wrong value.
    """
    from refledge.interfaces.shaping import asked  # noqa: PLC0415 - the solver takes a second

    extra = sorted(set(options) - set(DEFAULTS))
    if extra:
        raise RequestError(f"unknown options: {', '.join(extra)[:200]}")
    every = {**DEFAULTS, **options}
    if not all(isinstance(each, str) for each in every.values()):
        raise RequestError("each option is a text")
    try:
        wish = asked("arm", every["voxel"], _steps(every["iterations"].strip()), "cpu")
        return wish, _yes(every["solved"])
    except InputError as error:
        raise at_page(error) from error


def _yes(given: str) -> bool:
    if given not in ("yes", "no"):
        raise wrong("solved", f'"{given}"', "yes, no", "choose one of these")
    return given == "yes"


def _steps(given: str) -> int:
    if not given.isdigit() or int(given) not in STEPS:
        allowed = f"a whole number from {STEPS[0]} to {STEPS[-1]}"
        raise wrong("iterations", f'"{given}"', allowed, "write another")
    return int(given)
