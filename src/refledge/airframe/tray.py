"""Battery tray: a plate that bends between its screws and the straps that hold the battery, on
bosses that lean where it stands off."""

from dataclasses import replace
from math import hypot, pi

from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.model.items import Box
from refledge.model.parts import TrayDesign

STRAP_PLACE = 0.3
"""Straps from the middle over the tray's length: where geometry/tray.py draws their slots."""
SLOT_PEAK = 2.0
"""Peak stress at screws and strap slots over that of the plain plate: what solids of the example's
tray show (docs/verification/beams-and-solids.md)."""
THICKEST = 7e-3
"""m; thickest tray tried, and the room that the legs' height keeps for it."""


def tray_stress(tray: TrayDesign, battery_mass: float, felt: tuple[float, float]) -> float:
    """Bending stress at a row of screws, Pa.

    felt: vertical and sideways acceleration of the battery, m/s2. Each strap pulls with half the
    battery's force on a cantilever from the screws, as wide as the battery; sideways force tips the
    battery, which the same straps hold. Fences are left out: slots interrupt them.
    """
    reach = max(STRAP_PLACE * tray.length - tray.pitch_x / 2, 0.0)
    pull = battery_mass * hypot(*felt) / 2
    return SLOT_PEAK * 6.0 * pull * reach / (tray.width * tray.thickness**2)


def boss_stress(
    tray: TrayDesign, hole: float, battery: Box, mass: float, felt: tuple[float, float]
) -> float:
    """Pull across the layers at the foot of the hardest-loaded boss, Pa; 0 without bosses.

    hole: through the boss, m. felt: vertical and sideways acceleration of the battery, m/s2.
    Sideways, each of the four is a beam whose ends do not turn, M = F h / 8 (Timoshenko, Strength
    of Materials: half of F/4 over half its height); the battery's height over the plate tips the
    tray about the screws, which pull on two bosses. The screws' clamping is left out.
    """
    return boss_pull(tray, hole, (felt[0] * mass, felt[1] * mass), tray.hang + battery.height / 2)


def boss_pull(tray: TrayDesign, hole: float, force: tuple[float, float], below: float) -> float:
    """Pull across the layers at a boss's foot, Pa, as boss_stress says.

    force: vertical and sideways, N, acting ``below`` the lower plate, m.
    """
    if tray.stand == 0.0:
        return 0.0
    up, side = force
    tip = side * below / (2 * min(tray.pitch_x, tray.pitch_y))
    ring = pi / 4 * (tray.boss**2 - hole**2)
    bending = pi / 32 * (tray.boss**4 - hole**4) / tray.boss
    return (up / 4 + tip) / ring + side * tray.stand / 8 / bending


def size_tray(
    tray: TrayDesign,
    material: Working,
    battery_mass: float,
    felt: tuple[float, float],
    factor: float,
    layer: float,
) -> TrayDesign:
    """Thinnest tray in whole layers that holds, the thickest where none does."""
    limit = material.strength_xy / factor / (1.0 + reserve(material.strength_spread))
    while tray.thickness < THICKEST - layer and tray_stress(tray, battery_mass, felt) > limit:
        tray = replace(tray, thickness=tray.thickness + 2 * layer)
    return tray
