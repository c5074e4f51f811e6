"""The chapter on folding: how to fold and open the arms, and what to look at each time."""

import numpy as np

from refledge.geometry.folded import folded_size
from refledge.geometry.hinge import hinge_of
from refledge.outputs.book.assembling import torque
from refledge.outputs.book.blocks import Block, Caution, Chapter, Photo, Points, Words
from refledge.outputs.pictures import folded_picture
from refledge.study import Study
from refledge.units import show

LOCKED = (
    "Every lock bolt is in and at its torque, every pivot tight; no arm's tip moves when it is "
    "pulled sideways."
)
"""For every list before take-off."""


def folding(study: Study) -> tuple[Chapter, ...]:
    """How the arms fold; no chapter where they do not."""
    if study.frame.hinge is None:
        return ()
    blocks: list[Block] = [
        Photo(folded_picture(study), _sizes(study), 0.7),
        Caution("A lock left out", "lets an arm fold in flight. Count the locks: one to an arm."),
        Words("To fold:"),
        Points(_to_fold(study), numbered=True),
        Words("To open, before every flight:"),
        Points(_to_open(study), numbered=True),
    ]
    if hinge_of(study.frame).kind == "polyamide":
        blocks.append(Points(_shear_bolts(study)))
    return (Chapter("Folding the arms", tuple(blocks)),)


def _sizes(study: Study) -> str:
    size = folded_size(study.frame, study.layout, study.assembly)
    sides = [show(each, "m", "mm", 3) for each in (size.length, size.width, size.height)]
    return (
        f"Folded, propellers, battery and payload off: {sides[0]} long, {sides[1]} wide, "
        f"{sides[2]} high; {show(size.across, 'm', 'mm', 3)} across instead of "
        f"{show(size.open_across, 'm', 'mm', 3)}."
    )


def _to_fold(study: Study) -> tuple[str, ...]:
    hinge = hinge_of(study.frame)
    turn, lead = (f"{np.degrees(each):.0f}" for each in (hinge.turn, hinge.lead))
    return (
        "Battery out, payload and propellers off.",
        "Loosen every pivot by half a turn, then take all locks out and bag them: they go with the "
        "aircraft.",
        f"Turn all arms clockwise (from above) by {turn} degrees, little by little and in turn: "
        f"none more than {lead} degrees ahead of its neighbours, or they meet.",
        "Tighten the pivots until the arms stay where they are.",
    )


def _to_open(study: Study) -> tuple[str, ...]:
    pivot, lock = (
        next(torque(line) for line in study.fasteners if line.where.startswith(words))
        for words in ("pivots", "locks")
    )
    found = next(check.demand for check in study.checks if check.key == "hinge-play")
    play = show(found, "m", "mm", 2)
    return (
        "Loosen the pivots, turn all arms back in the same way.",
        f"A lock into every arm, washers under head and nut, to {lock}; then every pivot to "
        f"{pivot}.",
        "Pull each tip sideways with two fingers: it must not move. One that gives (up to "
        f"{play} to either side is what its bores allow) is not tight; one that gives more has "
        "worn bores: next arm, or the next size of bolt.",
        "Look at the wires' loops between the plates: none is pinched.",
    )


def _shear_bolts(study: Study) -> tuple[str, ...]:
    lock = hinge_of(study.frame).lock
    return (
        f"The locks are shear bolts: plain polyamide, {lock}. In a crash they go first and the arm "
        "swings away. Never put steel or a fibre-filled screw in their place.",
        "Look at each whenever it is out: white, bent or with a step in it, it is done. New ones "
        "after every hard landing and every season; carry a bag of spares.",
    )
