"""What pulls at an arm, on the grid: load cases of the study, supports, what rides on the tip."""

from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.statics import CaseResult
from refledge.errors import AnalysisError
from refledge.flight.air import GRAVITY
from refledge.geometry.drill import clamp_holes, clearance, screw_of
from refledge.model.parts import FrameDesign
from refledge.shaping.space import Space
from refledge.study import Study
from refledge.typed import Bools, Floats
from refledge.verify.beam_forces import arm_felt, motor_mass, tip_load
from refledge.verify.plastics import printed_body
from refledge.verify.pressed import clamp_patch
from refledge.voxels.grid import touched
from refledge.voxels.grips import Grip
from refledge.voxels.material import Layered
from refledge.voxels.modes import Lump
from refledge.voxels.own_forces import Felt

ALIKE = 0.9
"""Cosine between two loads on the tip from which the greater stands for both: our choice."""
KINDS = {"flight": 1.0, "landing": 0.25, "handling": 0.25, "shake": 0.5}
"""Weight of a case by its kind: stiffness serves flight, the rest keeps it sound. Our choice."""
SHAKE = "shaken sideways"
"""All under sideways acceleration: without it nothing holds the sideways mode up."""


@dataclass(frozen=True, eq=False)
class TipLoad:
    """Force and moment on the middle of the tenon's top, arm axes."""

    name: str
    kind: str
    wrench: Floats
    """(6,): force, N, and moment, N m; of what rides on the tip, the arm's own plastic left out."""
    felt: Felt
    """By the arm's own plastic, from where it is clamped to its tip."""
    alike: tuple[str, ...] = ()
    """Names of lesser ones of its kind that pull alike, for which it stands."""


def held(study: Study, space: Space) -> Bools:
    """(3, nodes): motions held by the rings that the clamp bolts press, on both faces."""
    frame, grid = study.frame, space.grid
    x, y, z = grid.axes()
    outer = clamp_patch(frame, study.task.hardware)
    inner = clearance(screw_of(study.task.hardware, frame.clamp.screw), frame) / 2
    half, near = frame.arm.depth_root / 2, 1e-6 * grid.spacing
    level = np.abs(np.abs(z) - half) < near
    found = np.zeros(grid.nodes, bool)
    for cx, cy in clamp_holes(frame.clamp):
        r = np.hypot(x - cx, y - cy)
        found |= (r <= outer) & (r >= inner) & level
    found &= touched(~space.void)
    if not found.any():
        raise AnalysisError("no node lies under the clamp bolts: take smaller voxels")
    return np.broadcast_to(found, grid.field).copy()


def seat_centre(frame: FrameDesign) -> Floats:
    """(3,), m: where the beams' tip loads are taken, the middle of the tenon's top."""
    return np.array([frame.arm.axis, 0.0, frame.arm.depth_root / 2])


def seat(study: Study, space: Space) -> Grip:
    """The tenon's top as the mount holds it."""
    frame, grid = study.frame, space.grid
    x, y, z = grid.axes()
    start = frame.arm.length - frame.arm.tenon_length
    near = 1e-6 * grid.spacing
    at = (x >= start - near) & (np.abs(z - frame.arm.depth_root / 2) < near) & (np.abs(y) < 1.0)
    cx, cy, cz = map(float, seat_centre(frame))
    return Grip(grid, at & touched(space.keep), (cx, cy, cz))


def tip_loads(study: Study) -> tuple[TipLoad, ...]:
    """Unlike load cases of the worst arm, greatest first, and one that shakes the tip sideways."""
    kinds = [(each, each.case.kind) for each in study.assessment.results]
    found = []
    for result, kind in kinds:
        force, moment = tip_load(study, result)
        wrench = np.concatenate([force, moment])
        found.append(TipLoad(result.case.title, kind, wrench, _felt(study, result)))
    kept: dict[str, TipLoad] = {}
    for each in sorted(found, key=lambda load: -_size(study, load.wrench)):
        alike = [one for one in kept.values() if one.kind == each.kind
                 and _cosine(study, each.wrench, one.wrench) >= ALIKE]  # fmt: skip
        for one in alike:
            kept[one.name] = replace(one, alike=(*one.alike, each.name))
        if not alike:
            kept[each.name] = each
    return (*kept.values(), _shake(study))


def _felt(study: Study, result: CaseResult) -> Felt:
    """As the solid verification takes it: about the middle of the body."""
    field, turn = arm_felt(study, result)
    return Felt(_three(field), _three(turn), (-study.frame.clamp.root_radius, 0.0, 0.0))


def _three(values: Floats) -> tuple[float, float, float]:
    x, y, z = map(float, values)
    return x, y, z


def _shake(study: Study) -> TipLoad:
    """What rides on the tip under one g along y, by its centre of mass, and the arm itself."""
    rider = motor_mass(study)
    force = np.array([0.0, rider.mass * GRAVITY, 0.0])
    moment = np.cross(rider.centre - seat_centre(study.frame), force)
    felt = Felt((0.0, GRAVITY, 0.0))
    return TipLoad(SHAKE, "shake", np.concatenate([force, moment]), felt)


def _scaled(study: Study, wrench: Floats) -> Floats:
    """(6,), N: moments over the arm's free length."""
    return np.concatenate([wrench[:3], wrench[3:] / study.frame.arm.span])


def _size(study: Study, wrench: Floats) -> float:
    return float(np.linalg.norm(_scaled(study, wrench)))


def _cosine(study: Study, one: Floats, other: Floats) -> float:
    """Of the angle between two loads, whatever their sense."""
    a, b = _scaled(study, one), _scaled(study, other)
    return float(abs(a @ b) / (np.linalg.norm(a) * np.linalg.norm(b)))


def rider(study: Study, grip: Grip) -> Lump:
    """Motor, propeller, mount and screws on the seat."""
    mass = motor_mass(study)
    x, y, z = map(float, mass.centre - np.array(grip.centre))
    return Lump(grip, mass.mass, mass.inertia, (x, y, z))


def law(study: Study) -> Layered:
    """The arm's plastic at flight conditions, solid; its layers lie square to z in every pose."""
    plastic = printed_body(study, "arm").plastic
    return Layered(
        E_in=plastic.E_xy, E_across=plastic.E_z, nu_in=plastic.nu_xy, nu_across=plastic.nu_xz,
        G_across=plastic.G_xz, rho=plastic.rho,
    )  # fmt: skip
