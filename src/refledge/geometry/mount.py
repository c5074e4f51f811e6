"""Motor mount; origin on the motor axis at the plate's underside, x outwards, z to the motor."""

from math import hypot, pi

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, mount_holes, screw_of, sinks
from refledge.geometry.fittings import SQUEEZE, check_beside_tube, trough
from refledge.geometry.holes import LEAST_LIGAMENT, Hole, check_holes
from refledge.geometry.kernel import Solid
from refledge.geometry.outlines import pads
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, rectangle, rounded
from refledge.model.fasteners import Hardware
from refledge.model.holes import motor_holes
from refledge.model.parts import FrameDesign

CORNER = 3e-3
"""Rounding of the plate's corners, m. Our choice."""
FILLET = 4e-3
"""Fillet between plate and seat disc, m. Our choice."""
BOLT_WALL = 1.2e-3
"""Least plastic between notch and bolt holes, m: our choice, three lines of the usual nozzle."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def make_mount(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Plate and seat disc with bolt holes, motor holes, bore and notch; a trough for a tube."""
    outline = mount_outline(frame)
    holes = mount_plate_holes(frame, hardware)
    _check_shaft(frame, hardware)
    check_holes("mount", outline, holes)
    plate = kernel.extrude(outline, 0.0, frame.mount.thickness, [each.loop for each in holes])
    below, tools = 0.0, [_notch(frame, hardware, kernel)]
    if frame.arm.family == "tube":
        check_beside_tube("mount", frame, frame.mount, hardware)
        below = frame.arm.width / 2 - SQUEEZE / 2
        plate = _with_block(plate, frame, hardware, below, kernel)
    tools += _counterbores(frame, hardware, below, kernel)
    return kernel.checked(kernel.cut(plate, *tools), f"mount for {frame.mount.holes}")


def mount_outline(frame: FrameDesign) -> Loop:
    """Rectangle united with the seat disc, m."""
    mount = frame.mount
    x, y = mount.length / 2, mount.width / 2
    corner = min(CORNER, 0.4 * y)
    if mount.seat_radius <= y + 0.1e-3:
        return rounded(rectangle(-x, x, -y, y), corner)
    return pads([0.0, pi], x, mount.width, mount.seat_radius, FILLET, corner)


def mount_plate_holes(frame: FrameDesign, hardware: Hardware) -> list[Hole]:
    """Holes through the plate: mount bolts, motor screws, shaft bore."""
    mount, pattern = frame.mount, motor_holes(frame.mount.holes)
    bolt = clearance(screw_of(hardware, mount.screw), frame)
    screw = clearance(screw_of(hardware, pattern.screw), frame)
    holes = [Hole(each, bolt, "bolt") for each in mount_holes(mount)]
    holes += [Hole(each, screw, "motor screw") for each in pattern.positions]
    if mount.shaft_bore > 0:
        holes.append(Hole((0.0, 0.0), mount.shaft_bore, "shaft"))
    return holes


def _check_shaft(frame: FrameDesign, hardware: Hardware) -> None:
    """Plastic between the bore for the shaft and the motor's screws, said by the brief's field."""
    mount, pattern = frame.mount, motor_holes(frame.mount.holes)
    screw = clearance(screw_of(hardware, pattern.screw), frame)
    left = min(hypot(*each) for each in pattern.positions) - (screw + mount.shaft_bore) / 2
    if mount.shaft_bore > 0 and left < LEAST_LIGAMENT:
        raise GeometryError(
            f"mount: the bore for the motor's shaft, {mount.shaft_bore * 1e3:.1f} mm wide, leaves "
            f"{left * 1e3:.2f} mm of plastic to its screws, at least {LEAST_LIGAMENT * 1e3:.1f} mm "
            "needed; next: a smaller motor.shaft_clearance, as wide as shaft and clip need"
        )


def notch_end(frame: FrameDesign, hardware: Hardware) -> float:
    """How near the wire notch comes to the motor axis, m: just outside the screw heads."""
    pattern = motor_holes(frame.mount.holes)
    ring = max(hypot(*each) for each in pattern.positions)
    head = screw_of(hardware, pattern.screw).head_diameter / 2
    return ring + head + LEAST_LIGAMENT + frame.hole_allowance / 2


def _notch(frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> Solid:
    """Slot with a round end, open towards the arm; over a tube it is a groove with a floor."""
    mount = frame.mount
    hole = clearance(screw_of(hardware, mount.screw), frame)
    width = min(frame.arm.bore, mount.pitch_y - hole - 2 * BOLT_WALL)
    if width < 2e-3:
        raise GeometryError(
            f"mount: bolts {mount.pitch_y * 1e3:.1f} mm apart leave {width * 1e3:.1f} mm for wires"
        )
    end, out = -notch_end(frame, hardware), -mount.length / 2 - mount.seat_radius
    slot = rounded(rectangle(out, end, -width / 2, width / 2), [0.0, width / 2, width / 2, 0.0])
    floor = LEAST_LIGAMENT if frame.arm.family == "tube" else -_PAST
    return kernel.extrude(slot, floor, mount.thickness + _PAST)


def _counterbores(
    frame: FrameDesign, hardware: Hardware, below: float, kernel: Kernel
) -> list[Solid]:
    """Room for the motor screws' heads from the arm's side."""
    mount, pattern = frame.mount, motor_holes(frame.mount.holes)
    if mount.head_depth > mount.thickness - LEAST_LIGAMENT:
        raise GeometryError(
            f"mount: counterbores {mount.head_depth * 1e3:.1f} mm deep in a plate "
            f"{mount.thickness * 1e3:.1f} mm thick"
        )
    diameter = screw_of(hardware, pattern.screw).head_diameter + frame.hole_allowance
    if mount.head_depth <= 0:
        return []
    return sinks(kernel, pattern.positions, diameter, -below - _PAST, mount.head_depth)


def _with_block(
    plate: Solid, frame: FrameDesign, hardware: Hardware, below: float, kernel: Kernel
) -> Solid:
    """The plate with the upper half of the tube clamp under it."""
    mount = frame.mount
    x, y = mount.length / 2, mount.width / 2
    hole = clearance(screw_of(hardware, mount.screw), frame)
    block = rounded(rectangle(-x, x, -y, y), min(CORNER, 0.4 * y))
    both = kernel.fuse(plate, kernel.extrude(block, -below, 0.0))
    space = trough(frame, -x, x, -frame.arm.width / 2, kernel)
    return kernel.cut(both, space, *drills(kernel, mount_holes(mount), hole, -below, 0.0))
