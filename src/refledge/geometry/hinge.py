"""Where the bolts of an arm's root stand: four of a clamp, or pivot and lock of a folding arm."""

from refledge.errors import GeometryError
from refledge.geometry.drill import clamp_holes, clearance, screw_of
from refledge.geometry.profile import Point
from refledge.model.fasteners import Hardware, Screw
from refledge.model.hinge import HingeDesign
from refledge.model.parts import ClampDesign, FrameDesign


def hinge_of(frame: FrameDesign) -> HingeDesign:
    """The hinge; raises GeometryError where the arms are clamped."""
    if frame.hinge is None:
        raise GeometryError("the arms are clamped, they have no hinge")
    return frame.hinge


def pivot_point(clamp: ClampDesign) -> Point:
    """Axis of the pivot bolt in arm axes, m."""
    return clamp.first + clamp.pitch_x, -clamp.pitch_y / 2


def lock_point(clamp: ClampDesign) -> Point:
    """Axis of the lock bolt in arm axes, m."""
    return clamp.first, clamp.pitch_y / 2


def leg_point(clamp: ClampDesign) -> Point:
    """Axis of the screw that holds a leg beside the pivot, in arm axes, m."""
    return clamp.first + clamp.pitch_x, clamp.pitch_y / 2


def root_bolts(frame: FrameDesign) -> list[Point]:
    """Bolts through both plates and an arm, in arm axes, m: the pivot first, or the four."""
    if frame.hinge is None:
        return clamp_holes(frame.clamp)
    return [pivot_point(frame.clamp), lock_point(frame.clamp)]


def root_holes(frame: FrameDesign, hardware: Hardware) -> list[float]:
    """Diameters of those bolts' holes as drawn, m."""
    if frame.hinge is None:
        return [clearance(screw_of(hardware, frame.clamp.screw), frame)] * 4
    bores = (frame.hinge.pivot_bore, frame.hinge.lock_bore)
    return [each + frame.hole_allowance for each in bores]


def lock_screw(frame: FrameDesign, hardware: Hardware) -> Screw:
    """The lock bolt, of steel or polyamide; needs a hinge."""
    hinge = hinge_of(frame)
    if hinge.kind == "steel":
        return screw_of(hardware, hinge.lock)
    if hinge.lock not in hardware.shear_bolts:
        known = ", ".join(sorted(hardware.shear_bolts))
        raise GeometryError(f"no polyamide bolt {hinge.lock}; known: {known}")
    return hardware.shear_bolts[hinge.lock]


def root_screws(frame: FrameDesign, hardware: Hardware) -> list[Screw]:
    """The bolts of ``root_bolts``."""
    screw = screw_of(hardware, frame.clamp.screw)
    return [screw] * 4 if frame.hinge is None else [screw, lock_screw(frame, hardware)]
