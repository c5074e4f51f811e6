"""Arms of the printed families, in arm axes: x outwards, y left, z up, flat top."""

from collections.abc import Callable, Mapping

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clamp_holes, clearance, drills, mount_holes, screw_of
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import Point, circle, polygon, rectangle, rounded
from refledge.geometry.windows import windows
from refledge.model.fasteners import Hardware
from refledge.model.parts import ArmDesign, FrameDesign

_PAST = 1e-3  # cutters reach this far beyond what they cut, m
ROOT_FILLET = 3e-3
"""Fillet where the walls run into the solid ends, m; less in shallow voids. Our choice."""
WINDOW_FILLET = 1.5e-3
"""Fillet in the corners between bars and walls, m; less in small windows. Our choice."""

BORE_WALL = 0.4e-3
"""Least plastic between wire bore and bolt holes, m: one line of the usual nozzle."""


def underside(arm: ArmDesign, x: float) -> float:
    """Height of the outer underside at ``x``, m: level, falling depth over the span, level."""
    top, stations = arm.depth_root / 2, (arm.root_length, arm.length - arm.tenon_length)
    return float(np.interp(x, stations, (top - arm.depth_root, top - arm.depth_tip)))


def make_arm(
    arm: ArmDesign, frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """One arm of any family; raises GeometryError where the dimensions do not make one body."""
    if arm.family == "tube":
        return make_tube(arm, kernel)
    if arm.family not in _HOLLOWS:
        raise GeometryError(f"no arm family {arm.family}; known: {', '.join(_HOLLOWS)}, tube")
    _check(arm, frame, hardware)
    outer = kernel.extrude(polygon(_side_view(arm)), -arm.width / 2, arm.width / 2, axis="y")
    tools = [*_HOLLOWS[arm.family](arm, kernel), *_bores(arm, kernel)]
    tools += _bolt_holes(arm, frame, hardware, kernel)
    return kernel.checked(kernel.cut(outer, *tools), _named(arm))


def make_tube(arm: ArmDesign, kernel: Kernel = solid_kernel) -> Solid:
    """The plain tube, bought and cut to length."""
    ring = circle((0.0, 0.0), arm.width)
    solid = kernel.extrude(ring, 0.0, arm.length, [circle((0.0, 0.0), arm.bore)], axis="x")
    return kernel.checked(solid, _named(arm))


def _side_view(arm: ArmDesign) -> list[Point]:
    top, start, end = arm.depth_root / 2, arm.root_length, arm.length - arm.tenon_length
    low, high = top - arm.depth_root, top - arm.depth_tip
    under: list[Point] = [(0.0, low), (start, low), (end, high), (arm.length, high)]
    if arm.depth_root == arm.depth_tip:
        under = [under[0], under[3]]
    return [*under, (arm.length, top), (0.0, top)]


def _box_hollow(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """The closed void and the wire exit in its left wall."""
    top, start, end = arm.depth_root / 2 - arm.top, arm.root_length, arm.length - arm.tenon_length
    shape = [(start, underside(arm, start) + arm.bottom), (end, underside(arm, end) + arm.bottom)]
    fillet = min(ROOT_FILLET, 0.3 * (top - shape[1][1]))
    half = arm.width / 2 - arm.side
    void = kernel.extrude(
        rounded([*shape, (end, top), (start, top)], fillet), -half, half, axis="y"
    )
    return [void, _wire_exit(arm, kernel)]


def _wire_exit(arm: ArmDesign, kernel: Kernel) -> Solid:
    x = arm.length - arm.tenon_length - arm.bore
    middle = (arm.depth_root / 2 + underside(arm, x)) / 2
    inner = arm.width / 2 - arm.side - 0.1 * arm.side
    return kernel.extrude(circle((x, middle), arm.bore), inner, arm.width / 2 + _PAST, axis="y")


def _channel_hollow(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """Pockets between zig-zag ribs, open below."""
    low, high = -arm.depth_root / 2 - _PAST, arm.depth_root / 2 - arm.top
    half = arm.width / 2 - arm.side
    nodes = _nodes(arm, arm.pitch)
    loops = windows(nodes, lambda _: -half, lambda _: half, arm.web, "lower", WINDOW_FILLET)
    if not loops:
        raise GeometryError(f"{_named(arm)}: ribs {arm.web * 1e3:.1f} mm thick fill the channel")
    return [kernel.extrude(loop, low, high) for loop in loops]


def _truss_hollow(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """The gap between the two side trusses, and the windows through both."""
    top, half = arm.depth_root / 2 - arm.top, arm.width / 2
    start, end = arm.root_length, arm.length - arm.tenon_length
    fillet = min(ROOT_FILLET, 0.3 * arm.depth_tip)
    low = -arm.depth_root / 2 - _PAST
    gap = rounded(rectangle(start, end, low, top), [0.0, 0.0, fillet, fillet])
    tools = [kernel.extrude(gap, -half + arm.side, half - arm.side, axis="y")]
    loops = windows(
        _nodes(arm, arm.pitch, 2),
        lambda x: underside(arm, x) + arm.bottom,
        lambda _: top,
        arm.web,
        "upper",
        WINDOW_FILLET,
    )
    return tools + [kernel.extrude(each, -half - _PAST, half + _PAST, axis="y") for each in loops]


def _nodes(arm: ArmDesign, pitch: float, steps: int = 1) -> list[float]:
    """Where bars meet the edges: whole panels over the span, ``steps`` bars to each, x in m."""
    count = steps * max(1, round(arm.span / pitch))
    return [float(x) for x in np.linspace(arm.root_length, arm.root_length + arm.span, count + 1)]


def _bores(arm: ArmDesign, kernel: Kernel) -> list[Solid]:
    """Wire bore through root block and tenon, at the middle of each."""
    start, end = arm.root_length, arm.length - arm.tenon_length
    tip = (arm.depth_root - arm.depth_tip) / 2
    inside = min(_PAST, 0.1 * arm.span)
    return [
        kernel.extrude(circle((0.0, 0.0), arm.bore), -_PAST, start + inside, axis="x"),
        kernel.extrude(circle((0.0, tip), arm.bore), end - inside, arm.length + _PAST, axis="x"),
    ]


def _bolt_holes(
    arm: ArmDesign, frame: FrameDesign, hardware: Hardware, kernel: Kernel
) -> list[Solid]:
    half = arm.depth_root / 2
    clamp = clearance(screw_of(hardware, frame.clamp.screw), frame)
    mount = clearance(screw_of(hardware, frame.mount.screw), frame)
    at_tip = [(arm.axis + x, y) for x, y in mount_holes(frame.mount)]
    return [
        *drills(kernel, clamp_holes(frame.clamp), clamp, -half, half),
        *drills(kernel, at_tip, mount, half - arm.depth_tip, half),
    ]


def _check(arm: ArmDesign, frame: FrameDesign, hardware: Hardware) -> None:
    """Dimensions that leave too little plastic, said by name."""
    joints = ((frame.clamp, arm.depth_root, "root"), (frame.mount, arm.depth_tip, "tip"))
    for joint, depth, end in joints:
        hole = clearance(screw_of(hardware, joint.screw), frame)
        _room(arm, f"beside the {end} bolts", arm.width / 2 - joint.pitch_y / 2 - hole / 2)
        between = (joint.pitch_y - hole - arm.bore) / 2
        _room(arm, f"between the {end} bolts and bore", between, BORE_WALL)
        _room(arm, f"above and below the bore at the {end}", (depth - arm.bore) / 2)
    hollow = arm.depth_tip - arm.top - arm.bottom
    _room(arm, "of hollow between the side walls", arm.width - 2 * arm.side)
    _room(arm, "of hollow between top and bottom at the tip", hollow)
    _room(arm, "of free span", arm.span)


def _room(arm: ArmDesign, where: str, room: float, least: float = LEAST_LIGAMENT) -> None:
    if room < least - 1e-9:
        raise GeometryError(
            f"{_named(arm)}: {room * 1e3:.2f} mm {where}; at least {least * 1e3:.1f} mm needed"
        )


def _named(arm: ArmDesign) -> str:
    size = " x ".join(f"{1e3 * each:.1f}" for each in (arm.length, arm.width, arm.depth_root))
    return f"arm ({arm.family}, {size} mm)"


_HOLLOWS: Mapping[str, Callable[[ArmDesign, Kernel], list[Solid]]] = {
    "box": _box_hollow,
    "channel": _channel_hollow,
    "truss": _truss_hollow,
}
