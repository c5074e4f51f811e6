"""Arms of the printed families, in arm axes: x outwards, y left, z up, flat top."""

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clearance, drills, mount_holes, screw_of
from refledge.geometry.envelope import named, room, side_view
from refledge.geometry.hinge import root_bolts, root_holes
from refledge.geometry.hollows import HOLLOWS
from refledge.geometry.kernel import Solid
from refledge.geometry.lap import BORE_WALL, beyond_inner, beyond_outer, lap_of, lap_tools
from refledge.geometry.port import Kernel
from refledge.geometry.profile import circle, polygon
from refledge.model.fasteners import Hardware
from refledge.model.parts import ArmDesign, FrameDesign

_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def make_arm(
    arm: ArmDesign, frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel
) -> Solid:
    """One arm of any family; raises GeometryError where the dimensions do not make one body.

    A split arm comes out in one piece, with the solid block, bolt holes and groove of its lap.
    """
    if arm.family == "tube":
        return make_tube(arm, kernel)
    if arm.grown is not None:
        return solid_kernel.MeshSolid(arm.grown.mesh, _stand_in(arm, frame, hardware))
    return kernel.checked(_whole(arm, frame, hardware, kernel), named(arm))


def make_arm_part(
    which: str,
    arm: ArmDesign,
    frame: FrameDesign,
    hardware: Hardware,
    kernel: Kernel = solid_kernel,
    whole: Solid | None = None,
) -> Solid:
    """The ``inner`` or ``outer`` part of a split arm, in the axes of the whole arm.

    whole: the arm as make_arm draws it, where it has been made already.
    """
    lap = lap_of(arm, frame, hardware)
    beyond = {"inner": beyond_inner, "outer": beyond_outer}[which](arm, lap, kernel)
    uncut = whole or _whole(arm, frame, hardware, kernel)
    solid = kernel.cut(uncut, *beyond)
    return kernel.checked(solid, f"{which} part of {named(arm)}")


def make_tube(arm: ArmDesign, kernel: Kernel = solid_kernel) -> Solid:
    """The plain tube, bought and cut to length."""
    ring = circle((0.0, 0.0), arm.width)
    solid = kernel.extrude(ring, 0.0, arm.length, [circle((0.0, 0.0), arm.bore)], axis="x")
    return kernel.checked(solid, named(arm))


def _whole(arm: ArmDesign, frame: FrameDesign, hardware: Hardware, kernel: Kernel) -> Solid:
    if arm.family not in HOLLOWS:
        raise GeometryError(f"no arm family {arm.family}; known: {', '.join(HOLLOWS)}, tube")
    _check(arm, frame, hardware)
    outer = kernel.extrude(polygon(side_view(arm)), -arm.width / 2, arm.width / 2, axis="y")
    joint = lap_tools(arm, lap_of(arm, frame, hardware), kernel) if arm.split else []
    tools = [*HOLLOWS[arm.family](arm, kernel), *_bores(arm, kernel), *joint]
    return kernel.cut(outer, *tools, *_bolt_holes(arm, frame, hardware, kernel))


def _stand_in(arm: ArmDesign, frame: FrameDesign, hardware: Hardware) -> Solid:
    """The block that a grown arm is cut from, with its bores; the wires' run on through it, round
    where the arm has a square duct, for only their mouths are drawn from here."""
    kernel = solid_kernel
    outer = kernel.extrude(polygon(side_view(arm)), -arm.width / 2, arm.width / 2, axis="y")
    tip = (arm.depth_root - arm.depth_tip) / 2
    ways = [
        kernel.extrude(circle((0.0, z), arm.bore), -_PAST, arm.length + _PAST, axis="x")
        for z in (0.0, tip)
    ]
    return kernel.cut(outer, *ways, *_bolt_holes(arm, frame, hardware, kernel))


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
    mount = clearance(screw_of(hardware, frame.mount.screw), frame)
    at_tip = [(arm.axis + x, y) for x, y in mount_holes(frame.mount)]
    roots = zip(root_bolts(frame), root_holes(frame, hardware), strict=True)
    return [
        *(tool for at, hole in roots for tool in drills(kernel, [at], hole, -half, half)),
        *drills(kernel, at_tip, mount, half - arm.depth_tip, half),
    ]


def _check(arm: ArmDesign, frame: FrameDesign, hardware: Hardware) -> None:
    """Dimensions that leave too little plastic, said by name."""
    root, tip = (
        max(root_holes(frame, hardware)),
        clearance(screw_of(hardware, frame.mount.screw), frame),
    )
    joints = (
        (frame.clamp, root, arm.depth_root, "root"), (frame.mount, tip, arm.depth_tip, "tip"),
    )  # fmt: skip
    for joint, hole, depth, end in joints:
        room(arm, f"beside the {end} bolts", arm.width / 2 - joint.pitch_y / 2 - hole / 2)
        between = (joint.pitch_y - hole - arm.bore) / 2
        room(arm, f"between the {end} bolts and bore", between, BORE_WALL)
        room(arm, f"above and below the bore at the {end}", (depth - arm.bore) / 2)
    hollow = arm.depth_tip - arm.top - arm.bottom
    room(arm, "of hollow between the side walls", arm.width - 2 * arm.side)
    room(arm, "of hollow between top and bottom at the tip", hollow)
    room(arm, "of free span", arm.span)
