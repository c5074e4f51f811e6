"""Battery tray: a plate that bends between its screws and the straps that hold the battery."""

from dataclasses import replace
from math import hypot

from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.model.hung import TrayDesign

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
