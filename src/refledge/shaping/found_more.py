"""What an arm does more as printed than its voxels say, for the next growth: strength, motions."""

from collections.abc import Iterator

from refledge.shaping.bearing import Bears
from refledge.shaping.limits import SWING
from refledge.shaping.loads import SHAKE, tip_loads
from refledge.shaping.reanalysis import ArmFound
from refledge.shaping.result import Result
from refledge.shaping.shape import Wish
from refledge.study import Study


def printed_shares(
    ground: Study, found: Result, bears: Bears, wish: Wish
) -> Iterator[tuple[str, float]]:
    """By load: use of strength as printed, of all cases that it stands for, over that of voxels
    without what was known before; where the growth did not come down to what was asked, over what
    was asked, since the next one may not either."""
    limits, known = ground.brief.limits, dict(wish.printed)
    usual = max(known.values(), default=1.0)
    for load in tip_loads(ground):
        voxels = found.shaped.after.of(load.name).use
        if load.name == SHAKE or not voxels:
            continue
        factor = limits.flight_factor if load.kind == "flight" else limits.landing_factor
        names = (load.name, *load.alike)
        printed = max(max(e.plastic, e.layers) for e in bears.cases if e.title in names)
        reached = min(voxels, wish.use or voxels)
        yield load.name, factor * printed / reached * known.get(load.name, usual)


def softer_shares(ground: Study, found: Result, solid: ArmFound) -> Iterator[tuple[str, float]]:
    """By load: deflection or tilt of the seat as printed over that of voxels, whichever is more;
    by SWING the square of first modes, voxels over printed, as a give has it."""
    figures = {each.name: each.finest for each in solid.verified.figures}
    for load in tip_loads(ground):
        if load.name != SHAKE:
            moved = found.shaped.after.of(load.name)
            yield (
                load.name,
                max(
                    figures[f"{load.name}: {what} of seat"] / size
                    for what, size in (("deflection", moved.deflection), ("tilt", moved.tilt))
                ),
            )
    if found.shaped.after.frequencies:
        yield SWING, (found.shaped.after.frequencies[0] / solid.modes[0]) ** 2
