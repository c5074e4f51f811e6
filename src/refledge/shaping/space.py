"""The design space of an arm: what must be solid, what empty, what the optimiser decides."""

from dataclasses import dataclass

import numpy as np

from refledge.errors import InputError, Problem
from refledge.geometry import kernel
from refledge.geometry.drill import clamp_holes, clearance, drills, mount_holes, screw_of, sinks
from refledge.geometry.kernel import Solid
from refledge.geometry.profile import circle, polygon
from refledge.model.parts import FrameDesign
from refledge.shaping.envelope import fitted, obstacles, outline, touched_by, within
from refledge.shaping.voxelise import solid_shares
from refledge.study import Study
from refledge.typed import Bools
from refledge.verify.pressed import clamp_patch, mount_patch
from refledge.voxels.grid import Grid

FACE = 2.4e-3
"""m; plastic under the upper plate and the mount at least: a dozen layers, our choice."""
FINEST, COARSEST = 0.5e-3, 3e-3
"""m, edge of a voxel: memory and time below, no wall seen above (our choice)."""
_PAST = 2e-3  # cutters reach this far beyond what they cut, m
_INTO = 0.3e-3  # round bores reach this far into the duct, m


@dataclass(frozen=True, eq=False)
class Space:
    """One arm's design space in the arm's own axes."""

    grid: Grid
    keep: Bools
    """(nx, ny, nz): always solid."""
    void: Bools
    """(nx, ny, nz): always empty."""
    seats: Solid
    bores: Solid

    @property
    def free(self) -> int:
        """Voxels that the optimiser decides."""
        return int((~(self.keep | self.void)).sum())


def space_of(study: Study, voxel: float) -> Space:
    """Raises InputError for arms that cannot be grown and for voxels out of bounds.

    Voxels that bores or the outline would cut stay empty, seats aside: a member grown a voxel thick
    would come out thinner.
    """
    _refuse(study, voxel)
    frame, grid = study.frame, fitted(study.frame, voxel)
    envelope = kernel.extrude(
        polygon(outline(frame, grid)), -frame.arm.width / 2, frame.arm.width / 2, axis="y"
    )
    seats = _seats(study)
    bores = _bores(study)
    bored = solid_shares(bores, grid)
    keep = within(solid_shares(seats, grid)) & ~within(bored)
    cut = touched_by(bored) | touched_by(1 - solid_shares(envelope, grid))
    return Space(
        grid=grid, keep=keep, void=(cut | obstacles(study, grid)) & ~keep,
        seats=seats, bores=kernel.fuse(bores, _beside(envelope)),
    )  # fmt: skip


def _refuse(study: Study, voxel: float) -> None:
    arm = study.frame.arm
    where = study.brief.title or "the brief"
    if arm.grown is not None:
        raise InputError(
            Problem(
                where, "frame.grown_arm", "an arm that was grown already", "an arm that is drawn",
                "strike the line out to grow another in the room of a drawn one",
            )
        )  # fmt: skip
    if arm.family == "tube" or arm.split:
        what = "a bought tube" if arm.family == "tube" else "an arm in two parts"
        raise InputError(
            Problem(
                where, "frame.arm_family", what, "a printed arm in one piece",
                "choose box, channel or truss and a printer whose bed takes the arm whole",
            )
        )  # fmt: skip
    if study.frame.hinge is not None:
        raise InputError(
            Problem(
                where, "frame.arm_root", "folding arms", "clamped",
                "grow an arm for a clamp; folding arms are drawn ones",
            )
        )  # fmt: skip
    if not FINEST <= voxel <= COARSEST:
        raise InputError(
            Problem(
                "--voxel", "edge of a voxel", f"{voxel * 1e3:g} mm",
                f"{FINEST * 1e3:g} to {COARSEST * 1e3:g} mm", "give another size",
            )
        )  # fmt: skip


def _seats(study: Study) -> Solid:
    """Faces under the upper plate and the mount, and a boss round every bolt that goes through."""
    frame, hardware = study.frame, study.task.hardware
    arm, top = frame.arm, frame.arm.depth_root / 2
    end, half = arm.length - arm.tenon_length, arm.width / 2
    clamp, mount = clamp_patch(frame, hardware), mount_patch(frame, hardware)
    at_tip = [(arm.axis + x, y) for x, y in mount_holes(frame.mount)]
    root = kernel.fuse(
        kernel.box((0.0, -half, top - FACE), (arm.root_length, half, top)),
        *sinks(kernel, clamp_holes(frame.clamp), 2 * clamp, -top, top),
    )
    tip = kernel.fuse(
        kernel.box((end, -half, top - FACE), (arm.length, half, top)),
        *sinks(kernel, at_tip, 2 * mount, top - arm.depth_tip, top),
    )
    return kernel.fuse(root, tip)


def _bores(study: Study) -> Solid:
    """Bolt holes at both ends, and the wire's way from the root's bore to the tenon's."""
    frame, hardware = study.frame, study.task.hardware
    arm, top = frame.arm, frame.arm.depth_root / 2
    clamp = clearance(screw_of(hardware, frame.clamp.screw), frame)
    mount = clearance(screw_of(hardware, frame.mount.screw), frame)
    at_tip = [(arm.axis + x, y) for x, y in mount_holes(frame.mount)]
    return kernel.fuse(
        _wire(frame),
        *drills(kernel, clamp_holes(frame.clamp), clamp, -top, top),
        *drills(kernel, at_tip, mount, top - arm.depth_tip, top),
    )


def _wire(frame: FrameDesign) -> Solid:
    """Round through root and tenon as in every family, a square duct straight between them."""
    arm, half = frame.arm, frame.arm.bore / 2
    start, end = arm.root_length, arm.length - arm.tenon_length
    tip = (arm.depth_root - arm.depth_tip) / 2
    duct = [(start, -half), (end, tip - half), (end, tip + half), (start, half)]
    return kernel.fuse(
        kernel.extrude(circle((0.0, 0.0), arm.bore), -_PAST, start + _INTO, axis="x"),
        kernel.extrude(polygon(duct), -half, half, axis="y"),
        kernel.extrude(circle((0.0, tip), arm.bore), end - _INTO, arm.length + _PAST, axis="x"),
    )


def _beside(envelope: Solid) -> Solid:
    """All that lies just outside the outline, so that nothing of the surface stays there."""
    low, high = kernel.bounds(envelope)
    margin = np.array([_PAST, _PAST, _PAST]) * 2
    return kernel.cut(kernel.box(low - margin, high + margin), envelope)
