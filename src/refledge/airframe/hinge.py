"""Pivot and lock of a folding arm: which bolts there are, what they bear, how stiff they hold."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import hypot, pi

import numpy as np

from refledge.airframe.bolting import beyond_grip, grip_of_clamp, thread_end
from refledge.airframe.clamp_rings import frustum_stiffness, pressed_radius
from refledge.airframe.joints import STEEL_E
from refledge.airframe.working import Working
from refledge.analysis.joints import bolt_preload
from refledge.analysis.pins import shear_plane_stiffness
from refledge.geometry.folding import fold_of
from refledge.geometry.hinge import hinge_of, lock_point, lock_screw, pivot_point
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.lap import BORE_WALL
from refledge.inputs.fasteners import screw_lengths, shear_bolt_lengths
from refledge.model.brief import Brief
from refledge.model.fasteners import Hardware, Screw, ShearBolt
from refledge.model.hinge import HingeDesign
from refledge.model.parts import ClampDesign, FrameDesign
from refledge.typed import Floats

SNUG = 0.2
"""Preload of a polyamide lock over its strength: low, so that creep does not matter; our choice."""
TURNS = 2
"""Turns of thread that a polyamide lock shows once it is cut to length: our choice."""
ROOM = 0.1e-3
"""m; more than the least plastic beside a lock's bore, so that rounding does not matter."""


def hinge_for(brief: Brief, clamp: ClampDesign, bore: float, hardware: Hardware) -> (
    HingeDesign | None
):  # fmt: skip
    """The hinge with the least lock that fits beside a wire bore ``bore`` (m) wide."""
    if brief.frame.arm_root != "folding":
        return None
    screw = hardware.screws[clamp.screw]
    plain = HingeDesign(
        lock=screw.size,
        kind="polyamide" if brief.frame.weak_link == "bolt" else "steel",
        pivot_bore=screw.diameter + brief.frame.hinge_gap,
        lock_bore=screw.diameter + brief.frame.hinge_gap,
    )
    return with_lock(brief, plain, locks_for(brief, clamp, bore, hardware)[0], hardware)


def with_lock(brief: Brief, hinge: HingeDesign, size: str, hardware: Hardware) -> HingeDesign:
    """The hinge with another lock bolt."""
    table: Mapping[str, Screw] = hardware.screws
    if hinge.kind == "polyamide":
        table = hardware.shear_bolts
    return replace(hinge, lock=size, lock_bore=table[size].diameter + brief.frame.hinge_gap)


def locks_for(brief: Brief, clamp: ClampDesign, bore: float, hardware: Hardware) -> tuple[str, ...]:
    """Sizes of lock bolt that may be chosen, rising: steel as the pivot, polyamide as fits."""
    if brief.frame.weak_link != "bolt":
        return (clamp.screw,)
    return shear_bolts_for(brief, clamp, bore, hardware)


def shear_bolts_for(
    brief: Brief, clamp: ClampDesign, bore: float, hardware: Hardware
) -> tuple[str, ...]:
    """Sizes of polyamide bolt that fit beside a wire bore ``bore`` (m) wide, rising.

    The least is always there: where it does not fit the arm's own rules say so.
    """
    grown = brief.frame.hinge_gap + brief.frame.hole_allowance
    inside = clamp.pitch_y / 2 - bore / 2 - BORE_WALL - ROOM
    outside = clamp.first - LEAST_LIGAMENT - ROOM
    most = 2 * min(inside, outside) - grown
    sizes = sorted(hardware.shear_bolts, key=lambda size: hardware.shear_bolts[size].diameter)
    fitting = [size for size in sizes if hardware.shear_bolts[size].diameter <= most]
    return tuple(fitting or sizes[:1])


def lock_lengths(hinge: HingeDesign) -> tuple[float, ...]:
    """Lengths in which the lock bolt is sold, m, rising."""
    return (shear_bolt_lengths if hinge.kind == "polyamide" else screw_lengths)(hinge.lock)


def longest_lock(brief: Brief, clamp: ClampDesign, bore: float, hardware: Hardware) -> float:
    """Greatest grip that every lock that may be chosen passes, m."""
    hinge = hinge_for(brief, clamp, bore, hardware)
    if hinge is None:
        return float("inf")
    table: Mapping[str, Screw] = hardware.screws
    if hinge.kind == "polyamide":
        table = hardware.shear_bolts
    sizes = locks_for(brief, clamp, bore, hardware)
    tried = [with_lock(brief, hinge, size, hardware) for size in sizes]
    return min(max(lock_lengths(each)) - beyond_grip(table[each.lock]) for each in tried)


def bulkiest(brief: Brief, clamp: ClampDesign, bore: float, hardware: Hardware) -> Screw:
    """The clamp's screw, with nut and washer as large as those of any lock that may be chosen."""
    screw = hardware.screws[clamp.screw]
    if brief.frame.arm_root != "folding" or brief.frame.weak_link != "bolt":
        return screw
    every = [hardware.shear_bolts[s] for s in shear_bolts_for(brief, clamp, bore, hardware)]
    names = ("nut_width", "nut_height", "washer_diameter", "washer_thickness")
    most = {name: max(getattr(each, name) for each in (screw, *every)) for name in names}
    return replace(screw, **most)


def lock_thread(frame: FrameDesign, hardware: Hardware) -> float:
    """What the lock shows beyond its nut, m: steel as it is sold, polyamide cut to length."""
    lock = lock_screw(frame, hardware)
    if isinstance(lock, ShearBolt):
        return TURNS * lock.pitch
    return thread_end(lock, grip_of_clamp(frame), screw_lengths)


def lock_tension(lock: Screw, preload: float) -> float:
    """Preload of the lock, N: steel as the pivot's ``preload``, polyamide snug."""
    if isinstance(lock, ShearBolt):
        return float(bolt_preload(lock.stress_area, lock.tensile, SNUG))
    return preload


def folding(frame: FrameDesign, angles: tuple[float, ...]) -> FrameDesign:
    """The frame with its hinge's turn and lead, for arms at ``angles`` (rad)."""
    if frame.hinge is None:
        return frame
    turn, lead = fold_of(frame, angles)
    return replace(frame, hinge=replace(frame.hinge, turn=turn, lead=lead))


@dataclass(frozen=True, eq=False)
class HingeRows:
    """Factors on the sizes of an arm's six end forces at its pivot (N, N m), (6,) each.

    Sums of sizes, which are careful: forces and moments do not all act the same way at once.
    """

    lock: Floats
    """Shear on the lock, N."""
    pivot: Floats
    """Shear on the pivot, N."""
    pull: Floats
    """Pull on either bolt, N."""


def hinge_rows(clamp: ClampDesign) -> HingeRows:
    """Statics of two pins: the moment about the pivot by the lever of the lock, half of what acts
    along their line on the lock, the whole on the pivot.

    Bending and twist press the block's ends and sides against the plates, which the bolts hold
    together: the moment as a couple over the bolts' distance along and across the arm, half of the
    upright force.
    """
    (x, y), (x_lock, y_lock) = pivot_point(clamp), lock_point(clamp)
    along, across = abs(x - x_lock), abs(y - y_lock)
    lever = hypot(along, across)
    half = across / 2  # from the arm's axis to the pivot
    turned = np.array([half, 0.0, 0.0, 0.0, 0.0, 1.0]) / lever
    lock = turned + np.array([along, across, 0.0, 0.0, 0.0, 0.0]) / lever / 2
    pivot = turned + np.array([1.0, 1.0, 0.0, 0.0, 0.0, 0.0])
    pull = np.array([0.0, 0.0, 0.5, 1 / across, 1 / along, 0.0])
    return HingeRows(lock, pivot, pull)


def hinge_lever(clamp: ClampDesign) -> float:
    """Between pivot and lock, m."""
    (x, y), (x_lock, y_lock) = pivot_point(clamp), lock_point(clamp)
    return hypot(x - x_lock, y - y_lock)


def tip_play(frame: FrameDesign, hardware: Hardware) -> float:
    """How far the motor axis goes to either side while pivot and lock cross their bores, m.

    Each bolt lets arm and plates shift by what it is thinner than their bores, half in either; the
    two shift opposite ways across their line, so that the arm turns about their middle.
    """
    hinge, screw = hinge_of(frame), hardware.screws[frame.clamp.screw]
    lock = lock_screw(frame, hardware)
    gaps = hinge.pivot_bore - screw.diameter + hinge.lock_bore - lock.diameter
    turn = gaps / hinge_lever(frame.clamp)
    middle = frame.clamp.first + frame.clamp.pitch_x / 2
    return turn * (frame.arm.axis - middle)


def hinge_grips(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware
) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Stiffness (6, 6), N/m and N m/rad, arm axes, of the arm's axis against each plate: for the
    lock against (upper, lower), for the pivot.

    Up and down as a clamp bolt's pressed ring; a polyamide lock keeps no preload to speak of, so
    one plate is held by contact and the other by the bolt's own stretch besides. In the plane by
    the shank in its bores alone, without the faces' friction, which is careful. Off the axis, so
    that the two together hold the arm against twist and yaw.
    """
    screw, lock = hardware.screws[frame.clamp.screw], lock_screw(frame, hardware)
    (_, y), (_, y_lock) = pivot_point(frame.clamp), lock_point(frame.clamp)
    held = _own(frame, materials, hardware, screw)
    steady = _at(held, y)
    upper = lower = _own(frame, materials, hardware, lock)
    if isinstance(lock, ShearBolt):
        grip = frame.plate_gap + 2 * frame.plate.thickness
        stretch = lock.modulus * lock.stress_area / grip
        upper = lower * np.where(np.arange(6) == 2, 1 / (1 + lower[2] / stretch), 1.0)
    return (_at(upper, y_lock), _at(lower, y_lock)), (steady, steady)


def hinge_pair(frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware) -> Floats:
    """(6,): a pair of clamp bolts that would hold as pivot and lock do, for a first estimate."""
    screw, lock = hardware.screws[frame.clamp.screw], lock_screw(frame, hardware)
    two = [_own(frame, materials, hardware, each) for each in (screw, lock)]
    mean = 2 / (1 / two[0] + 1 / two[1])
    mean[3] = mean[2] * (frame.clamp.pitch_y / 2) ** 2
    mean[5] = mean[0] * (frame.clamp.pitch_y / 2) ** 2
    return np.asarray(mean)


def _own(
    frame: FrameDesign, materials: Mapping[str, Working], hardware: Hardware, bolt: Screw
) -> Floats:
    """(6,): one bolt's joint between the arm's block and one plate, about its own axis."""
    arm, plate = materials[frame.arm.material], materials[frame.plate.material]
    half, pressed = frame.plate_gap / 2, pressed_radius(frame, hardware)
    up = frustum_stiffness(arm.E_z, bolt.clearance_hole, 2 * pressed, half)
    modulus = bolt.modulus if isinstance(bolt, ShearBolt) else STEEL_E
    side = float(
        shear_plane_stiffness(
            arm.E, half, plate.E, frame.plate.thickness, modulus, bolt.diameter
        )
    )  # fmt: skip
    tilt = up * (pressed / 2) ** 2
    return np.array([side, side, up, tilt, tilt, side * (bolt.diameter / 4) ** 2])


def _at(own: Floats, y: float) -> Floats:
    """(6, 6): the joint ``own`` (6,) as felt at the arm's axis, ``y`` (m) to its side."""
    carry = np.eye(6)
    carry[0, 5], carry[2, 3] = -y, y
    return np.asarray(carry.T @ np.diag(own) @ carry)


def friction_radius(outer: float, inner: float) -> float:
    """Radius at which a ring under even pressure drags, m: 2/3 (R3 - r3) / (R2 - r2).

    Shigley, Mechanical Engineering Design, disc clutch under uniform pressure.
    """
    return 2 / 3 * (outer**3 - inner**3) / (outer**2 - inner**2)


def ring_area(outer: float, inner: float) -> float:
    """m2, from the two diameters (m)."""
    return pi / 4 * (outer**2 - inner**2)
