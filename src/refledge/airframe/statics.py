"""Load cases on the free airframe: displacements, motor tilt, forces in every beam."""

from dataclasses import dataclass

import numpy as np

from refledge.airframe.structure import Structure
from refledge.analysis.beam import (
    BeamFrame,
    all_dofs,
    end_forces,
    matrices,
    rigid_shapes,
    solve_free,
    solve_static,
)
from refledge.flight.air import GRAVITY
from refledge.model.layout import Layout
from refledge.model.loads import LoadCase
from refledge.model.results import Deflected
from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class CaseResult:
    """One load case solved."""

    case: LoadCase
    displacements: Floats  # (n, 6), m and rad
    forces: Floats  # (m, 2, 6), N and N m, local axes of each beam
    motor_tilt: Floats  # (n_rotors,), rad, against the hub
    tip_deflection: Floats  # (n_arms,), m, against the clamp
    acceleration: Floats  # (6,), m/s2 and rad/s2

    @property
    def felt(self) -> tuple[float, float]:
        """Vertical and sideways acceleration of what rides on the body, m/s2."""
        a = self.acceleration
        return float(abs(a[2])), float(np.hypot(a[0], a[1]))

    def deflected(self, frame: BeamFrame) -> Deflected:
        """For pictures and tables."""
        return Deflected(
            load_case=self.case.title,
            nodes=frame.nodes,
            elements=frame.elements,
            displacements=self.displacements,
            motor_tilt=self.motor_tilt,
            tip_deflection=self.tip_deflection,
        )


def solve_cases(
    structure: Structure, layout: Layout, cases: tuple[LoadCase, ...]
) -> tuple[CaseResult, ...]:
    """Every case in one go: the free airframe, or hanging by its weight from the arm it is held by.

    Results stand in the order of ``cases``.
    """
    frame = structure.loaded
    free = [case for case in cases if case.held_arm < 0]
    moved = solve_free(frame, np.array([_loads(structure, layout, case) for case in free]))
    found = dict(zip(free, zip(moved.displacements, moved.acceleration, strict=True), strict=True))
    found |= {case: _held(structure, case) for case in cases if case.held_arm >= 0}
    displacements = np.array([found[case][0] for case in cases])
    acceleration = np.array([found[case][1] for case in cases])
    forces = end_forces(frame, displacements, acceleration)
    results = []
    for row, case in enumerate(cases):
        tilt, tip = relative_motion(structure, layout, displacements[row])
        results.append(
            CaseResult(case, displacements[row], forces[row], tilt, tip, acceleration[row])
        )
    return tuple(results)


def _loads(structure: Structure, layout: Layout, case: LoadCase) -> Floats:
    """Nodal loads (n, 6) of rotors, feet and a slung payload."""
    loads = np.zeros((len(structure.frame.nodes), 6))
    for rotor, arm in enumerate(layout.arm_of_rotor):
        node = structure.tips[arm]
        loads[node, 2] += case.rotor_thrust[rotor]
        loads[node, 5] += case.rotor_torque[rotor]
    for foot, force in zip(structure.feet, case.foot_force, strict=True):
        loads[foot, :3] += force
    loads[structure.belly, 2] -= case.slung_force
    return loads


def _held(structure: Structure, case: LoadCase) -> tuple[Floats, Floats]:
    """Displacements with one arm held at its tip and weight acting on all; minus gravity."""
    frame = structure.loaded
    _, mass = matrices(frame)
    down = np.array([0.0, 0.0, -GRAVITY, 0.0, 0.0, 0.0])
    weight = (mass @ (rigid_shapes(frame.nodes) @ down)).reshape(-1, 6)
    weight[structure.belly, 2] -= case.slung_force
    found = solve_static(frame, weight, all_dofs(structure.tips[case.held_arm]))
    return found.displacements, -down


def relative_motion(
    structure: Structure, layout: Layout, displacements: Floats
) -> tuple[Floats, Floats]:
    """Motor tilt against the hub (rad) and tip deflection against the clamp (m)."""
    nodes = structure.frame.nodes
    hub = displacements[structure.hub, 3:]
    turn = displacements[list(structure.tips), 3:] - hub
    per_arm = np.hypot(turn[:, 0], turn[:, 1])
    tilt = per_arm[list(layout.arm_of_rotor)]
    tips = []
    for root, tip in zip(structure.roots, structure.tips, strict=True):
        rigid = displacements[root, :3] + np.cross(
            displacements[root, 3:], nodes[tip] - nodes[root]
        )
        tips.append(float(np.linalg.norm(displacements[tip, :3] - rigid)))
    return tilt, np.array(tips)


def foot_stiffness(structure: Structure, feet: tuple[int, ...]) -> float:
    """Vertical stiffness of the airframe landing on the given feet together, N/m.

    Unit force shared by the feet against the inertia of every mass. Inertia relief leaves a
    deformation to which inertia does no work, so half the feet's own displacement is all the strain
    energy: the stiffness that a falling-weight estimate needs, with arms and plates that give too.
    """
    frame = structure.loaded
    loads = np.zeros((len(frame.nodes), 6))
    loads[list(feet), 2] = 1.0 / len(feet)
    found = solve_free(frame, loads).displacements
    return float(1.0 / found[list(feet), 2].mean())
