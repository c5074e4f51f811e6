"""What stands on the upper plate: seat of the flight controller, mast."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class SeatDesign:
    """Flight-controller seat on the upper plate."""

    side: float
    thickness: float
    post_height: float
    post_diameter: float
    screw: str
    pitch: float
    """Hole spacing of the flight controller, m."""
    foot_pitch: float
    """Spacing of the screws into the upper plate, m."""
    material: str
    rise: float = 0.0
    """Height of the elastic standoffs between upper plate and posts, m; 0: posts on the plate."""
    standoff_mass: float = 0.0
    """Of one elastic standoff, kg."""
    turn: float = 0.0
    """Turn of the square of posts about the middle, rad."""
    threads: str = "inserts"
    """What its screws hold in: heat-set ``inserts``, or plain ``nuts`` in slots."""

    @property
    def top(self) -> float:
        """Upper plate to what the flight controller lies on, m."""
        return self.rise + self.post_height + self.thickness


@dataclass(frozen=True, kw_only=True)
class MastDesign:
    """Mast on the upper plate that carries one item aloft: a flat profile in the plane of its arm,
    held by the four clamp bolts of that arm."""

    item: str
    """Name of what it carries, as in the brief."""
    arm: int
    height: float
    """Upper plate to the top of the platform, m."""
    thickness: float
    """Across the profile (printed height), m."""
    depth: float
    """Of the column, m."""
    flange_thickness: float
    platform_length: float
    platform_thickness: float
    material: str
