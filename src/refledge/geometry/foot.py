"""Foot of a landing leg, a sleeve over the leg's end on a wide sole; origin and axes of the leg."""

from math import hypot
from typing import Protocol

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.kernel import Solid
from refledge.geometry.leg import leg_line
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, polygon, rectangle, rounded
from refledge.model.fasteners import Hardware
from refledge.model.gear import FootDesign
from refledge.model.parts import FrameDesign

_PAST = 1e-3  # cutters reach this far beyond what they cut, m
CORNER = 3e-3
"""Rounding of the sole's corners, m. Our choice: nothing to catch in grass."""


def foot_of(frame: FrameDesign) -> FootDesign:
    """The frame's foot; raises GeometryError where it has none."""
    if frame.foot is None:
        raise GeometryError("this frame has no feet")
    return frame.foot


class Cup(Protocol):
    """What holds a leg's end: a sleeve on a sole."""

    @property
    def sleeve(self) -> float: ...
    @property
    def wall(self) -> float: ...
    @property
    def sole(self) -> float: ...
    @property
    def flare(self) -> float: ...


def make_foot(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Sleeve and sole with a pocket for the leg's end, a gap all round."""
    foot = foot_of(frame)
    sleeve, sole, pocket = cup_bodies(frame, foot, hardware, kernel, "foot")
    solid = kernel.cut(kernel.fuse(sleeve, sole), pocket)
    return kernel.checked(solid, f"foot ({foot.sleeve * 1e3:.1f} mm sleeve)")


def cup_bodies(
    frame: FrameDesign, cup: Cup, hardware: Hardware, kernel: Kernel, what: str
) -> tuple[Solid, Solid, Solid]:
    """Sleeve, sole, and the pocket to cut out of both, in the leg's axes."""
    leg = frame.leg
    if cup.sleeve > 0.5 * (leg.height - leg.flange_thickness):
        raise GeometryError(
            f"{what}: a sleeve {cup.sleeve * 1e3:.1f} mm high on a leg "
            f"{leg.height * 1e3:.1f} mm high"
        )
    low, top, gap = -leg.height, cup.sleeve - leg.height, frame.fit_gap
    half = leg.thickness / 2 + gap
    around = _strut(frame, hardware, low - cup.sole / 2, top, gap + cup.wall)
    sleeve = kernel.extrude(around, -half - cup.wall, half + cup.wall, axis="y")
    pocket = kernel.extrude(_strut(frame, hardware, low, top + _PAST, gap), -half, half, axis="y")
    inner, outer, wide = cup_size(frame, cup, hardware)
    outline = rounded(rectangle(inner, outer, -wide, wide), CORNER)
    return sleeve, kernel.extrude(outline, low - cup.sole, low), pocket


def cup_size(frame: FrameDesign, cup: Cup, hardware: Hardware) -> tuple[float, float, float]:
    """Inner and outer end of a sole along the leg's x, and half its width, m."""
    inner, outer = _sides(frame, hardware, -frame.leg.height)
    beyond = frame.fit_gap + cup.wall + cup.flare
    return inner - beyond, outer + beyond, frame.leg.thickness / 2 + beyond


def sole_size(frame: FrameDesign, hardware: Hardware) -> tuple[float, float, float]:
    """Inner and outer end of the foot's sole along x, and half its width, m."""
    return cup_size(frame, foot_of(frame), hardware)


def _strut(frame: FrameDesign, hardware: Hardware, low: float, top: float, more: float) -> Loop:
    """The leaning strut from ``low`` to ``top``, ``more`` thicker on both sides, in (x, z), m."""
    lean = hypot(frame.leg.splay, frame.leg.height - frame.leg.flange_thickness)
    across = more * lean / (frame.leg.height - frame.leg.flange_thickness)
    (a, b), (c, d) = (_sides(frame, hardware, z) for z in (low, top))
    return polygon([(a - across, low), (b + across, low), (d + across, top), (c - across, top)])


def _sides(frame: FrameDesign, hardware: Hardware, z: float) -> tuple[float, float]:
    """Inner and outer face of the strut at ``z``, x in m, as leg_profile draws them."""
    leg = frame.leg
    (x0, z0), (x1, z1) = leg_line(frame, hardware)
    half = leg.depth_foot / 2 * hypot(x1 - x0, z1 - z0) / abs(z1 - z0)
    share = (z - z0) / (z1 - z0)
    middle = x0 + share * (x1 - x0)
    reach = leg.depth_top / 2 + share * (half - leg.depth_top / 2)
    return middle - reach, middle + reach
