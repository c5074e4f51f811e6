"""Bosses of a tray that stands off: the legs of a frame whose beam is the tray's plate, with a wall
across between each two where they alone would not do."""

from dataclasses import dataclass, replace
from math import pi

from refledge.airframe.judge import reserve
from refledge.airframe.tray import STRAP_PLACE
from refledge.airframe.working import Working
from refledge.geometry.tray import flare
from refledge.model.hung import TrayDesign
from refledge.model.items import Box

BOSS_PEAK = 2.0
"""Bending stress where a boss's cone ends over that of the leg as a beam: covers what solids of the
example's tray show, closely for stout bosses (docs/verification/beams-and-solids.md)."""
LEAST_LINES = 4
"""Lines across the thinnest wall tried: two closed outlines. Our choice."""


@dataclass(frozen=True, kw_only=True)
class Hung:
    """What hangs from a tray."""

    up: float
    """N, vertical."""
    side: float
    """N, sideways."""
    below: float
    """m, where it acts below the lower plate."""
    at: float
    """m, where it is held to the tray: from the middle along the tray, at both ends."""


def battery_hung(tray: TrayDesign, battery: Box, mass: float, felt: tuple[float, float]) -> Hung:
    """The battery (kg) in its straps; felt: its vertical and sideways acceleration, m/s2."""
    return Hung(
        up=felt[0] * mass,
        side=felt[1] * mass,
        below=tray.hang + battery.height / 2,
        at=STRAP_PLACE * tray.length,
    )


def boss_stress(tray: TrayDesign, hole: float, hung: Hung) -> float:
    """Pull across the layers of the hardest-loaded boss where its cone ends, Pa; 0 without bosses.

    hole: through the boss, m. Two bosses and the wall between them are one leg. The plate ends
    beyond the legs as cantilevers, whose moment each leg takes to the share that its stiffness has
    at the joint, half of which comes out at its other end (slope deflection, legs held at the lower
    plate: 4 E I / h of the leg, 2 E I / L of the plate bent alike at both ends, 6 E I / L bent
    oppositely by a tipping load). Sideways the legs' ends do not turn: F h / 4 at each, nothing in
    the middle (Timoshenko, Strength of Materials). The screws' clamping, which takes load off, is
    left out.
    """
    if tray.stand == 0.0:
        return 0.0
    area, inertia = _leg(tray, hole)
    tip = hung.side * hung.below / (2 * min(tray.pitch_x, tray.pitch_y))
    ring, up = _ring(tray, hole)[0], flare(tray)[0] / tray.stand
    moment = _end_moment(tray, inertia, hung) * (1 - 1.5 * up)
    moment += hung.side * tray.stand / 4 * (1 - 2 * up)
    return hung.up / (2 * area) + tip / ring + BOSS_PEAK * moment * tray.boss / 2 / inertia


def _end_moment(tray: TrayDesign, inertia: float, hung: Hung) -> float:
    """Moment that the plate's overhang brings to the foot of one leg, N m."""
    reach = max(hung.at - tray.pitch_x / 2, 0.0)
    leg = 4 * inertia / tray.stand
    plate = tray.width * tray.thickness**3 / 12 / tray.pitch_x
    tipping = hung.side * (hung.below - tray.hang) / (2 * hung.at)
    straight = hung.up / 2 * leg / (leg + 2 * plate)
    return reach * (straight + tipping * leg / (leg + 6 * plate))


def _leg(tray: TrayDesign, hole: float) -> tuple[float, float]:
    """Area and second moment against bending along the tray, two bosses and their wall, m2, m4."""
    area, inertia = _ring(tray, hole)
    span = tray.pitch_y - tray.boss
    return 2 * area + span * tray.wall, 2 * inertia + span * tray.wall**3 / 12


def _ring(tray: TrayDesign, hole: float) -> tuple[float, float]:
    area = pi / 4 * (tray.boss**2 - hole**2)
    return area, pi / 64 * (tray.boss**4 - hole**4)


def size_wall(
    tray: TrayDesign,
    material: Working,
    hole: float,
    loads: tuple[Hung, ...],
    factor: float,
    line: float,
) -> TrayDesign:
    """Thinnest wall between bosses, in whole lines (m), that holds; none where bosses alone do.

    No wall is thicker than the bosses: where that fails, the check of the bosses says so.
    """
    limit = material.strength_z / factor / (1.0 + reserve(material.interlayer_spread))

    def holds(one: TrayDesign) -> bool:
        return sum(boss_stress(one, hole, each) for each in loads) <= limit

    if tray.stand == 0.0 or holds(tray):
        return tray
    lines = range(LEAST_LINES, int(tray.boss / line + 1e-9) + 1)
    tried = [replace(tray, wall=count * line) for count in lines]
    return next((each for each in tried if holds(each)), tried[-1])
