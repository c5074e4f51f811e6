"""How near the present and the grown arm are to buckling, as printed, in words and as JSON."""

from collections.abc import Iterator
from typing import Any

from refledge.shaping.reanalysis import ArmFound
from refledge.shaping.result import Result
from refledge.units import show

Row = tuple[str, str, str, str]
SHOWN = 0.1
"""Share of the buckling load from which on a load case has its own row: ours."""
_NONE = "cannot say"


def buckling_rows(old: ArmFound, new: ArmFound) -> Iterator[Row]:
    """Name, present, grown and change: the nearest with its factor, load cases without."""
    pair = old.buckling, new.buckling
    yield _row("greatest share of the buckling load, factor in", *(each.use for each in pair))
    if any(each.why for each in pair):
        return
    yield "nearest to buckling in", pair[0].case, pair[1].case, ""
    was, now = (f"{100 * each.error:.1f} %" for each in pair)
    yield "mesh error of that share", was, now, ""
    for one, other in zip(old.verified.spots, new.verified.spots, strict=True):
        shares = one.buckling or 0.0, other.buckling or 0.0
        if max(shares) > SHOWN:
            yield _row(f"{one.case}: share of the buckling load", *shares)


def _row(name: str, old: float, new: float) -> Row:
    if not (old > 0.0 and new > 0.0):  # nan too
        was, now = (show(each, "1", "%") if each >= 0.0 else _NONE for each in (old, new))
        return name, was, now, ""
    change = f"{100 * (new / old - 1):+.0f} %".replace("-", "−")
    return name, show(old, "1", "%"), show(new, "1", "%"), change


def buckling_remarks(found: Result) -> Iterator[str]:
    """Whether the grown arm buckles as printed, and how sure that is."""
    if found.solids is None:
        return
    near = found.solids[1].buckling
    if near.why:
        yield f"cannot say whether it buckles: {near.why}"
        return
    told = f"as printed it uses {show(near.use, '1', '%')} of its buckling load in {near.case}"
    if abs(1.0 - near.use) <= near.error * near.use:
        yield f"{told}, mesh error {100 * near.error:.0f} % of that: cannot say whether it buckles"
    else:
        yield f"{told}: it {'buckles' if near.use > 1.0 else 'holds'}"


def buckling_json(arm: ArmFound) -> dict[str, Any] | None:
    """By load case, without factor; None where nothing was found."""
    if arm.buckling.why:
        return None
    return {
        "share_of_buckling_load": arm.buckling.use,
        "worst_case": arm.buckling.case,
        "mesh_error": arm.buckling.error,
        "cases": {
            spot.case: {"use": spot.buckling, "mesh_error": spot.buckling_error}
            for spot in arm.verified.spots
        },
    }
