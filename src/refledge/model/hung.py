"""What hangs under the lower plate: battery tray and payload rails."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class TrayDesign:
    """Battery tray under the lower plate, open below, straps around.

    It lies flat on the plate, or stands off on a boss round each of its screws where it would hide
    nuts of the clamp bolts; it has no fences then, so that it still prints flat.
    """

    length: float
    width: float
    thickness: float
    yaw: float
    """Turn of the tray (and battery) about z, rad: 0 lies along the nose."""
    fence: float
    """Height of the side fences, m; 0 where the tray stands off."""
    strap_width: float
    screw: str
    pitch_x: float
    pitch_y: float
    material: str
    stand: float = 0.0
    """Height of the bosses between lower plate and tray, m; 0: flat on the plate."""
    boss: float = 0.0
    """Diameter of the bosses, m."""
    wall: float = 0.0
    """Thickness of the walls that join the bosses across the tray, m; 0: none."""
    line: float = 0.0
    """Width of the webbing that a payload's line hangs from, through two slots in the middle beside
    the battery, m; 0: none."""
    shelf: float = 0.0
    """Reach of the plate beyond both long sides between the straps, for payload rails, m."""
    shelf_length: float = 0.0
    shelf_pitch_x: float = 0.0
    """Screws of the payload rails, as those of the tray: along it and across, m."""
    shelf_pitch_y: float = 0.0

    @property
    def hang(self) -> float:
        """Underside of the lower plate to the battery, m."""
        return self.stand + self.thickness


@dataclass(frozen=True, kw_only=True)
class RailDesign:
    """Two payload rails under the tray's shelves, and the carrier that slides between their lips.

    A rail is a plate on edge beside the battery: a flange outwards under the shelf, two lips
    inwards under the battery.
    """

    length: float
    height: float
    """Tray's underside to the lower lip's, m."""
    web: float
    gap: float
    """Long side of the tray to the web's inner face, m."""
    flange: float
    """Thickness of the flange, m."""
    lip: float
    """Thickness of each lip, m."""
    reach: float
    """Of the lips from the web, m."""
    carrier: float
    """Thickness of the carrier, m."""
    strap_width: float
    """Of the straps that hold a payload under the carrier, m; 0: the carrier holds a line."""
    screw: str
    """Of rails and pins."""
    material: str


STRAP = 3e-3
"""m, battery strap and its buckle under the battery (common practice, no source)."""


def lowest(tray: TrayDesign, rail: RailDesign | None, battery_height: float) -> float:
    """What hangs under the lower plate reaches so far below it, m: battery in its strap, rails."""
    return tray.hang + max(battery_height + STRAP, rail.height if rail else 0.0)
