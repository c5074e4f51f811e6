"""Mast for a raised item; origin midway between its arm's four clamp bolts on the upper plate's top
face, x outwards, z up. A flat profile, printed lying on its side like a leg."""

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.deck import EDGE, room_between
from refledge.geometry.drill import clearance, drills, rectangle_of, screw_of
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, rounded
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign
from refledge.model.upper import MastDesign

FILLET = 3e-3
"""Fillet where the column meets flange and platform, m. Our choice."""


def mast_of(frame: FrameDesign) -> MastDesign:
    """The frame's mast; raises GeometryError where it has none."""
    if frame.mast is None:
        raise GeometryError("this frame has no mast; next: name what it carries in frame.mast")
    return frame.mast


def most_depth(pitch_x: float, washer: float) -> float:
    """Deepest column between two pairs of clamp bolts ``pitch_x`` apart, m."""
    return room_between(pitch_x, washer) - 2 * FILLET


def mast_profile(frame: FrameDesign, hardware: Hardware) -> Loop:
    """Flange, column and platform in (x, z), m."""
    mast = mast_of(frame)
    washer = screw_of(hardware, frame.clamp.screw).washer_diameter
    foot, half = (frame.clamp.pitch_x + washer) / 2 + EDGE, mast.depth / 2
    top, under = mast.height, mast.height - mast.platform_thickness
    reach = max(mast.platform_length / 2, half + FILLET)
    right: list[Point] = [(foot, 0.0), (foot, mast.flange_thickness)]
    right += [(half, mast.flange_thickness), (half, under), (reach, under), (reach, top)]
    left = [(-x, z) for x, z in reversed(right)]
    radii = [0.5e-3, 1e-3, FILLET, FILLET, 1e-3, 0.5e-3]
    return rounded([*right, *left], [*radii, *reversed(radii)])


def make_mast(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """The profile, as wide as the flange is across, with four holes through the flange."""
    mast, clamp = mast_of(frame), frame.clamp
    screw = screw_of(hardware, clamp.screw)
    hole = clearance(screw, frame)
    _check(mast, frame, screw.washer_diameter, hole)
    half = mast.thickness / 2
    blank = kernel.extrude(mast_profile(frame, hardware), -half, half, axis="y")
    bolts = rectangle_of(clamp.pitch_x, clamp.pitch_y)
    solid = kernel.cut(blank, *drills(kernel, bolts, hole, 0.0, mast.flange_thickness))
    return kernel.checked(solid, f"mast ({mast.height * 1e3:.1f} mm high)")


def _check(mast: MastDesign, frame: FrameDesign, washer: float, hole: float) -> None:
    beside = (mast.thickness - frame.clamp.pitch_y - hole) / 2
    if beside < LEAST_LIGAMENT - 1e-9:
        raise GeometryError(
            f"mast: {beside * 1e3:.2f} mm beside its bolts in a mast {mast.thickness * 1e3:.1f} mm "
            f"thick; at least {LEAST_LIGAMENT * 1e3:.1f} mm needed"
        )
    room = most_depth(frame.clamp.pitch_x, washer)
    if mast.depth > room + 1e-9:
        raise GeometryError(
            f"mast: a column {mast.depth * 1e3:.1f} mm deep between washers that leave "
            f"{room * 1e3:.1f} mm; next: a lower place for {mast.item} (others.z)"
        )
    least = mast.flange_thickness + mast.platform_thickness + 2 * FILLET
    if mast.height < least:
        raise GeometryError(
            f"mast: {mast.height * 1e3:.1f} mm high, at least {least * 1e3:.1f} mm needed; next: "
            f"a higher place for {mast.item} (others.z), or no mast (frame.mast)"
        )
