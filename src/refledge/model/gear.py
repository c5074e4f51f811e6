"""What the airframe stands on."""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class LegDesign:
    """Landing leg: a flat profile in the plane of its arm, hung from the outer clamp bolts."""

    count: int
    arms: tuple[int, ...]
    """Arm index of each leg."""
    height: float
    """Underside of the lower plate to the ground, m."""
    splay: float
    """Outward shift of the foot from the flange, m."""
    thickness: float
    """Across the profile (printed height), m."""
    depth_top: float
    depth_foot: float
    flange_thickness: float
    material: str
    split: float = 0.0
    """Head of the strut to the middle of the joint of two printed parts, m; 0: in one piece."""
    lap: float = 0.0
    """Length of the joint along the strut, m."""
    lap_depth: float = 0.0
    """Depth of the strut over its joint, m."""
    lap_screw: str = ""
    """Size of the two bolts through the joint."""


@dataclass(frozen=True, kw_only=True)
class FootDesign:
    """Foot of each landing leg: a sleeve glued over the leg's end, on a wide sole."""

    sleeve: float
    """Height over the leg's end, m."""
    wall: float
    sole: float
    """Thickness under the leg's end, m."""
    flare: float
    """Reach of the sole beyond the sleeve on every side, m."""
    material: str


@dataclass(frozen=True, kw_only=True)
class SkidDesign:
    """Skid on either side that joins the ends of two legs: a bar with a sleeve over each end.

    Both skids are alike, half a turn apart.
    """

    turn: float
    """Plane of the front leg from the skid, rad; that of the rear leg is its mirror image."""
    nose: float
    """Reach of the bar beyond the legs' ends, m."""
    width: float
    height: float
    sleeve: float
    """Height over a leg's end, m."""
    wall: float
    """Of the sleeve, m."""
    sole: float
    """Thickness under a leg's end, m."""
    flare: float
    """Reach of the sole beyond the sleeve on every side, m."""
    lap: float
    """Length of the joint half-way between two printed parts, m; 0: in one piece."""
    screw: str
    """Size of the two bolts through the joint."""
    material: str
