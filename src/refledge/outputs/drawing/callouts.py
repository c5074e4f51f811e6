"""What a drawing says about round faces: diameter, how many, how deep; read from the solid."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry import kernel
from refledge.geometry.kernel import Round, Sink, Solid
from refledge.typed import Floats

FULL = 0.9
"""Share of a turn from which a round face is a hole or a pin, given by its diameter."""
LEAST_RADIUS = 1e-3
"""Smaller corners carry no dimension, m: a slicer rounds them anyway. Our choice."""
_PAST = 2e-4  # m beyond a hole's end, where its floor would be


@dataclass(frozen=True, eq=False)
class Called:
    """Round faces of one kind along one axis, with what is written about them."""

    words: str
    axis: int
    """0, 1, 2: x, y, z of the part; -1 for any other direction."""
    places: tuple[Floats, ...]
    """(3,), m, one for each."""
    radius: float
    whole: bool
    """A hole or pin rather than a corner."""
    blind: bool
    length: float
    """Of one of them along its axis, m."""
    points_at: tuple[Floats, ...]
    """(3,), m: where a leader may end, its axis for whole ones, else a point on the face."""


def called(solid: Solid) -> tuple[Called, ...]:
    """Everything round on a part, largest groups of holes first."""
    groups: dict[tuple[object, ...], list[Round]] = {}
    words: dict[tuple[object, ...], str] = {}
    for each in kernel.rounds(solid):
        if each.turn < FULL and each.radius < LEAST_RADIUS:
            continue
        said, blind = _said(solid, each)
        axis = axis_of(each.axis)
        key = (axis, said, each.turn >= FULL, blind)
        groups.setdefault(key, []).append(each)
        words[key] = said
    found = [_group(words[key], key, same) for key, same in groups.items()]
    found += _sinks(kernel.sinks_of(solid))
    return tuple(sorted(found, key=lambda c: (not c.whole, -len(c.places), c.words)))


def askew(solid: Solid) -> tuple[str, ...]:
    """Holes that run along no axis of the part, which no view shows round: what they are and how
    far they lean from the part's z."""
    found: dict[tuple[str, int], int] = {}
    for each in kernel.rounds(solid):
        if each.hollow and each.turn >= FULL and axis_of(each.axis) < 0:
            lean = float(np.degrees(np.arccos(min(1.0, abs(float(each.axis[2]))))))
            key = (_said(solid, each)[0], round(lean))
            found[key] = found.get(key, 0) + 1
    return tuple(
        f"{f'{number}× ' if number > 1 else ''}{words}, {lean}° off the part's z"
        for (words, lean), number in found.items()
    )


def axis_of(direction: Floats) -> int:
    """Index of the part's axis that ``direction`` runs along, or -1."""
    axis = int(np.argmax(np.abs(direction)))
    return axis if abs(direction[axis]) > 1 - 1e-6 else -1


def mm(value: float) -> str:
    """A length in m as a dimension in mm: hundredths at most, without trailing noughts."""
    whole = round(1e3 * value, 3)  # ties go away from nought, whatever rounding left of them
    text = f"{whole + (1e-7 if whole > 0 else -1e-7):.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _group(words: str, key: tuple[object, ...], same: list[Round]) -> Called:
    axis, _, whole, blind = key
    first = same[0]
    number = f"{len(same)}× " if len(same) > 1 else ""
    assert isinstance(axis, int)
    return Called(
        number + words, axis, tuple(each.centre for each in same), first.radius, bool(whole),
        bool(blind), first.length,
        tuple(each.centre if whole else each.on_face for each in same),
    )  # fmt: skip


def _said(solid: Solid, each: Round) -> tuple[str, bool]:
    """Words about one round face, and whether it is a hole with a floor."""
    if each.turn < FULL:
        return f"R{mm(each.radius)}", False
    diameter = f"Ø{mm(2 * each.radius)}"
    if not each.hollow:
        return f"{diameter} round, {mm(each.length)} long", False
    if _has_floor(solid, each):
        return f"{diameter} × {mm(each.length)} deep", True
    return f"{diameter} through", False


def _has_floor(solid: Solid, each: Round) -> bool:
    """Plastic just beyond one end, near the wall all round."""
    side = np.cross(each.axis, [1.0, 0.0, 0.0] if abs(each.axis[0]) < 0.9 else [0.0, 1.0, 0.0])
    side = side / np.linalg.norm(side)
    other = np.cross(each.axis, side)
    rim = 0.9 * each.radius * np.array([side, other, -side, -other])
    ends = [each.centre + s * (each.length / 2 + _PAST) * each.axis for s in (1.0, -1.0)]
    return any(sum(kernel.holds(solid, end + rim)) >= 3 for end in ends)


def _sinks(found: Sequence[Sink]) -> list[Called]:
    groups: dict[tuple[object, ...], list[Sink]] = {}
    for each in found:
        angle = round(float(np.degrees(each.angle)))
        groups.setdefault((axis_of(each.axis), angle, mm(2 * each.radius)), []).append(each)
    return [
        Called(
            f"{len(same)}× sunk {angle}° to Ø{wide}", int(str(axis)),
            tuple(each.centre for each in same), same[0].radius, True, True, 0.0,
            tuple(each.centre for each in same),
        )
        for (axis, angle, wide), same in groups.items()
    ]  # fmt: skip
