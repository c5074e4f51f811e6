"""A word to those whose craft is small for its screws."""

from collections.abc import Iterable

from refledge.airframe.fastening import bolts_mass
from refledge.airframe.task import Task
from refledge.model.results import Fastener

HEAVY_SHARE = 0.12
"""Fasteners over the all-up mass above which smaller ones are worth a try (1): the examples have
5 to 8 %, our choice."""
SMALLER = {"M5": "M4", "M4": "M3", "M3": "M2.5 or M2", "M2.5": "M2"}


def fastener_notes(task: Task, fasteners: Iterable[Fastener]) -> tuple[str, ...]:
    """What smaller screws would do, where those at hand are much of the craft."""
    share = bolts_mass(fasteners) / task.all_up_mass
    size = task.brief.frame.rod_screw
    if share <= HEAVY_SHARE or size not in SMALLER:
        return ()
    note = (
        f"Fasteners are {share:.0%} of the all-up mass, and their washers set how wide arms and "
        f"plates are: {SMALLER[size]} in place of {size} (frame.rod_screw) makes a small craft "
        "much lighter."
    )
    return (note,)
