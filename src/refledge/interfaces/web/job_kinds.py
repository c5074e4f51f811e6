"""Kinds of job, in one table. A kind whose code is not there is not listed."""

from collections.abc import Mapping
from dataclasses import dataclass

from refledge.errors import InputError, Problem
from refledge.interfaces.web.tasks import TASKS


@dataclass(frozen=True)
class JobKind:
    """One thing that takes longer than a moment."""

    title: str
    about: str
    wants: str
    """brief: any valid brief; results: a frame whose solids are current."""


_ALL: Mapping[str, JobKind] = {
    "design": JobKind(
        "Size the frame", "arms, plates and legs sized anew for this brief; about 15 s", "brief"
    ),
    "layouts": JobKind(
        "Compare layouts", "many layouts and powertrains held against each other", "brief"
    ),
    "verify": JobKind(
        "Check as solids", "every part and the whole airframe as solid elements; minutes", "results"
    ),
    "crash": JobKind(
        "Crash it",
        "many crashes on the computer: what goes first, what that costs, what to keep; a minute "
        "or two",
        "results",
    ),
    "shape": JobKind(
        "Grow the arm",
        "its shape found by topology optimisation, ready to print; a few minutes. A run that was "
        "stopped goes on from where it was last kept",
        "results",
    ),
    "build": JobKind(
        "Write the build", "every file to print and build from, into the project folder", "results"
    ),
}
KINDS: Mapping[str, JobKind] = {key: kind for key, kind in _ALL.items() if key in TASKS}
"""What this version can do."""


def kind_of(name: str) -> JobKind:
    """The kind of that name; raises InputError."""
    if name in KINDS:
        return KINDS[name]
    problem = Problem("jobs", "kind", repr(name[:40]), ", ".join(KINDS), "choose one of these")
    raise InputError(problem)
