"""Printed fittings of the tube family: half blocks at the root, trough and cap at the tip."""

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.drill import clamp_holes, clearance, drills, mount_holes, screw_of
from refledge.geometry.holes import LEAST_LIGAMENT
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.profile import circle
from refledge.model.fasteners import Hardware
from refledge.model.parts import ClampDesign, FrameDesign, MountDesign

SQUEEZE = 0.3e-3
"""Gap between two halves round the tube, m: docs/frame.md."""
_PAST = 1e-3  # cutters reach this far beyond what they cut, m


def trough(frame: FrameDesign, start: float, end: float, height: float, kernel: Kernel) -> Solid:
    """The space of the tube along x from ``start`` to ``end`` about z = ``height``, m."""
    ring = circle((0.0, height), frame.arm.width + frame.hole_allowance)
    return kernel.extrude(ring, start - _PAST, end + _PAST, axis="x")


def check_beside_tube(
    part: str, frame: FrameDesign, joint: ClampDesign | MountDesign, hardware: Hardware
) -> None:
    """Raise GeometryError where the bolts would touch the tube."""
    hole = clearance(screw_of(hardware, joint.screw), frame)
    room = (joint.pitch_y - hole - frame.arm.width - frame.hole_allowance) / 2
    if room < LEAST_LIGAMENT - 1e-9:
        raise GeometryError(
            f"{part}: {room * 1e3:.2f} mm of plastic between bolts {joint.pitch_y * 1e3:.1f} mm "
            f"apart and the tube; at least {LEAST_LIGAMENT * 1e3:.1f} mm needed"
        )


def make_root_block(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """The upper of two identical half blocks, in arm axes."""
    check_beside_tube("root block", frame, frame.clamp, hardware)
    length, half, top = frame.arm.root_length, frame.block_width / 2, frame.block_height / 2
    block = kernel.box((0.0, -half, SQUEEZE / 2), (length, half, top))
    hole = clearance(screw_of(hardware, frame.clamp.screw), frame)
    holes = drills(kernel, clamp_holes(frame.clamp), hole, 0.0, top)
    shape = kernel.cut(block, trough(frame, 0.0, length, 0.0, kernel), *holes)
    return kernel.checked(shape, f"root block ({frame.block_width * 1e3:.1f} mm wide)")


def make_cap(frame: FrameDesign, hardware: Hardware, kernel: Kernel = solid_kernel) -> Solid:
    """Lower half of the tip clamp under a single motor; origin on tube and motor axis.

    As thick below the tube as the mount's plate above it.
    """
    mount = frame.mount
    check_beside_tube("cap", frame, mount, hardware)
    x, y, low = mount.length / 2, mount.width / 2, -frame.arm.width / 2 - mount.thickness
    block = kernel.box((-x, -y, low), (x, y, -SQUEEZE / 2))
    hole = clearance(screw_of(hardware, mount.screw), frame)
    holes = drills(kernel, mount_holes(mount), hole, low, 0.0)
    shape = kernel.cut(block, trough(frame, -x, x, 0.0, kernel), *holes)
    return kernel.checked(shape, f"cap ({mount.width * 1e3:.1f} mm wide)")
