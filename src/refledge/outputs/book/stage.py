"""One step of the assembly, before its words and picture are made."""

from dataclasses import dataclass

NUTS = "seat with nuts"
"""Stands among the keys where the seat's screws hold in nuts."""
HINGES = "folding arms"
"""Stands among the keys where the arms fold."""
UP, DOWN, OUT = "up", "down", "out"


@dataclass(frozen=True)
class Stage:
    """One step, before its words and picture are made."""

    title: str
    parts: tuple[str, ...]
    """Keys of parts and items that are new."""
    base: tuple[str, ...] = ()
    """Keys shown beside them on the bench; empty: all that is on already."""
    one: bool = False
    """Only the first of each is shown: the step is done for each of them."""
    lift: str = UP
    """Where the new ones come from."""
    fasteners: tuple[str, ...] = ()
    """Words that the ``where`` of its fasteners begins with."""
    say: tuple[str, ...] = ()
    caution: tuple[str, str] = ("", "")
    caption: str = ""
    """Under the picture; empty: what is new."""
    under: tuple[str, ...] = ()
    """Keys that come from below where the others come from above."""
    only: str = ""
    """Key without which the step is left out."""
    unless: str = ""
    """Key with which the step is left out."""
    final: bool = False
    """After every part that no stage names."""
