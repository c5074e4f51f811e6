"""Propeller guard: a frame round the motor can, two struts, and a rim outside the blades' tips.

Origin on the motor axis at the frame's underside, which lies on the mount; x outwards, z up.
"""

from math import cos, pi, sin, sqrt

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, mount_holes, screw_of
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Loop, Point, Segment, circle, polygon, rectangle, rounded
from refledge.model.fasteners import Hardware
from refledge.model.parts import FrameDesign, GuardDesign
from refledge.typed import Floats

WALL = 6e-3
"""Plastic round the motor can, m. Our choice."""
SLOT = 8e-3
"""Gap in the frame towards the arm, for the motor's wires, m. Our choice."""
BLOCK = 6e-3
"""Length of the blocks that a rim's two halves are bolted by, each, m. Our choice."""
EDGE = 1e-3
"""Plastic beyond a washer, m. Our choice."""
CORNER = 3e-3
FILLET = 3e-3
"""Where struts meet the frame and the rim, m. Our choice, as the legs'."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def guard_of(frame: FrameDesign) -> GuardDesign:
    """The frame's guards; raises GeometryError where it has none."""
    if frame.guard is None:
        raise GeometryError("this frame has no propeller guards; next: frame.guards")
    return frame.guard


def guard_keys(guard: GuardDesign | None) -> tuple[str, ...]:
    """Part keys that make up one guard."""
    if guard is None:
        return ()
    return ("guard_left", "guard_right") if guard.screw else ("guard",)


def block_reach(guard: GuardDesign, hardware: Hardware) -> float:
    """How far the blocks stand out from the rim's inner face, m."""
    return guard.rim + screw_of(hardware, guard.screw).washer_diameter + 2 * EDGE


def joint_bolts(guard: GuardDesign, hardware: Hardware) -> list[Point]:
    """Two bolts across the joint, along y: (x, z), m."""
    washer = screw_of(hardware, guard.screw).washer_diameter
    x, z = guard.radius + guard.rim + EDGE + washer / 2, EDGE + washer / 2
    return [(x, z), (x, guard.height - z)]


def make_guard(
    key: str, frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """The whole guard, or one half of it: ``guard``, ``guard_left`` or ``guard_right``."""
    guard = guard_of(frame)
    if key not in guard_keys(guard):
        known = ", ".join(guard_keys(guard))
        raise GeometryError(f"no part {key} in this frame; known: {known}")
    bodies = [*_hub(frame, kernel), *_struts(guard, kernel), _rim(guard, kernel)]
    bodies += [_blocks(guard, hardware, kernel)] if guard.screw else []
    tools = _tools(frame, hardware, kernel)
    if guard.screw:
        tools.append(_other_half(key, guard, kernel))
    solid = kernel.cut(kernel.fuse(*bodies), *tools)
    return kernel.checked(solid, f"{key} ({2 * guard.radius * 1e3:.0f} mm inside)")


def _hub(frame: FrameDesign, kernel: Kernel) -> list[Solid]:
    """As long and wide as the mount, and a disc round the can."""
    guard, mount = guard_of(frame), frame.mount
    x, y, out = mount.length / 2, mount.width / 2, 2 * hub_radius(guard)
    plate = rounded(rectangle(-x, x, -y, y), min(CORNER, 0.4 * y))
    return [
        kernel.extrude(plate, 0.0, guard.thickness),
        kernel.cone((0.0, 0.0, 0.0), out, out, guard.thickness),
    ]


def hub_radius(guard: GuardDesign) -> float:
    """Outside of the disc round the can, m."""
    return guard.can / 2 + WALL


def _struts(guard: GuardDesign, kernel: Kernel) -> list[Solid]:
    bar = kernel.extrude(_strut(guard), 0.0, guard.thickness)
    return [kernel.move(bar, _about(way * guard.strut_at), np.zeros(3)) for way in (1.0, -1.0)]


def _strut(guard: GuardDesign) -> Loop:
    """Outline along x from the can to the rim, in (x, y), with fillets at both ends, m.

    Each end widens where the round that it meets is FILLET off the strut's side; there the round
    turns so little that the fillet runs into it without a notch.
    """
    half, inner, outer = guard.strut / 2, guard.can / 2, guard.radius + guard.rim / 2
    fillet = min(FILLET, 0.9 * hub_radius(guard) - half)
    wide, bow = half + fillet, fillet * (1.0 - sqrt(0.5))
    root, end = sqrt(hub_radius(guard) ** 2 - wide**2), sqrt(guard.radius**2 - wide**2)
    a, b = (root + fillet, half), (end - fillet, half)
    top = (
        Segment((outer, wide), (end, wide)),
        Segment((end, wide), b, (end - bow, half + bow)),
        Segment(b, a),
        Segment(a, (root, wide), (root + bow, half + bow)),
        Segment((root, wide), (inner, wide)),
    )
    low = tuple(Segment(_below(s.end), _below(s.start), s.via and _below(s.via)) for s in top[::-1])
    left, right = Segment((inner, wide), (inner, -wide)), Segment((outer, -wide), (outer, wide))
    return (*top, left, *low, right)


def _below(point: Point) -> Point:
    return (point[0], -point[1])


def _about(angle: float) -> Floats:
    c, s = cos(angle), sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def _rim(guard: GuardDesign, kernel: Kernel) -> Solid:
    outer, inner = guard.radius + guard.rim, guard.radius
    tall = guard.height + 2 * _PAST
    ring = kernel.cut(
        kernel.cone((0.0, 0.0, 0.0), 2 * outer, 2 * outer, guard.height),
        kernel.cone((0.0, 0.0, -_PAST), 2 * inner, 2 * inner, tall),
    )
    return kernel.common(ring, kernel.extrude(_sector(guard), -_PAST, guard.height + _PAST))


def _sector(guard: GuardDesign) -> Loop:
    """The angle that the rim covers, from the motor axis to well outside it."""
    half, far = guard.span / 2, 2 * (guard.radius + guard.rim)
    edge = (far * cos(half), far * sin(half))
    return polygon([(0.0, 0.0), (edge[0], -edge[1]), (far, 0.0), edge])


def _blocks(guard: GuardDesign, hardware: Hardware, kernel: Kernel) -> Solid:
    """Both blocks in one, half-way along the rim, outside the blades."""
    inner, out = guard.radius + guard.rim / 2, guard.radius + block_reach(guard, hardware)
    return kernel.box((inner, -BLOCK, 0.0), (out, BLOCK, guard.height))


def _tools(frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> list[Solid]:
    """The motor can, its wires, the mount's bolts, the joint's."""
    guard, mount = guard_of(frame), frame.mount
    hole, far = clearance(screw_of(hardware, mount.screw), frame), mount.length + mount.width
    tall = guard.thickness + 2 * _PAST
    tools = [
        kernel.cone((0.0, 0.0, -_PAST), guard.can, guard.can, tall),
        kernel.box((-far, -SLOT / 2, -_PAST), (0.0, SLOT / 2, guard.thickness + _PAST)),
        *drills(kernel, mount_holes(mount), hole, 0.0, guard.thickness),
    ]
    if guard.screw:
        bore = clearance(screw_of(hardware, guard.screw), frame)
        tools += [
            kernel.extrude(circle(each, bore), -2 * BLOCK, 2 * BLOCK, axis="y")
            for each in joint_bolts(guard, hardware)
        ]
    return tools


def _other_half(key: str, guard: GuardDesign, kernel: Kernel) -> Solid:
    """All on the other side of the arm's plane."""
    way, far = (-1.0 if key == "guard_left" else 1.0), 2 * (guard.radius + guard.rim)
    low, high = sorted((0.0, way * far))
    return kernel.box((-far, low, -_PAST), (far, high, guard.height + _PAST))


def rim_length(guard: GuardDesign) -> float:
    """Along the middle of the rim, m."""
    return guard.span * (guard.radius + guard.rim / 2)


def guard_size(guard: GuardDesign, mount_length: float) -> tuple[float, float]:
    """Length along the arm and width across it of a whole guard, m."""
    outer = guard.radius + guard.rim
    return outer + mount_length / 2, 2 * outer * sin(min(guard.span / 2, pi / 2))
