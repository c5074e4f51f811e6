"""Forces on each part at its joints, read off the beam frame, in the part's own axes."""

from dataclasses import replace
from math import cos, sin

import numpy as np

from refledge.airframe.grown_strength import TENON_BAR, at_tip
from refledge.airframe.inventory import BUILT_IN, Lump
from refledge.airframe.skid_ties import sides, tie_axes, tie_forces
from refledge.airframe.statics import CaseResult
from refledge.airframe.structure import LOWER, NODES_PER_ARM, PLATE_NODES, UPPER
from refledge.analysis.beam import (
    all_dofs,
    local_axes,
    matrices,
    rigid_shapes,
    solve_static,
)
from refledge.geometry.hinge import root_bolts
from refledge.model.parts import FrameDesign
from refledge.solids.cases import FaceLoad, PointMass
from refledge.study import Study
from refledge.typed import Floats


def arm_axes(angle: float) -> Floats:
    """(3, 3): rows are the arm's x, y, z in body axes."""
    c, s = cos(angle), sin(angle)
    return np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])


def worst_arm(study: Study, result: CaseResult) -> int:
    """The arm that bends hardest at its clamp: upright and level moment, each over the depth that
    it bends, as they add up in a corner of a section."""
    structure, arm = study.assessment.structure, study.frame.arm
    roots = [structure.beams_of("arm", i)[1] for i in range(study.frame.n_arms)]
    ends = np.abs(result.forces[roots, 0])
    return int(np.argmax(ends[:, 4] / arm.depth_root + ends[:, 5] / arm.width))


def tip_load(study: Study, result: CaseResult) -> tuple[Floats, Floats]:
    """Force (3,), N, and moment (3,), N m, on the worst arm at the middle of its tenon's top."""
    structure = study.assessment.structure
    row = structure.beams_of("arm", worst_arm(study, result))[TENON_BAR]
    six = at_tip(structure.bars[row], result.forces[row, 1])
    down = np.array([0.0, 0.0, -study.frame.arm.depth_root / 2])
    return six[:3], six[3:] + np.cross(down, six[:3])


def arm_felt(study: Study, result: CaseResult) -> tuple[Floats, Floats]:
    """What the worst arm's own plastic feels: (3,), m/s2, at the middle of the body and, (3,),
    rad/s2, about it; minus the body's acceleration, arm axes."""
    turn = arm_axes(float(study.layout.arm_angles[worst_arm(study, result)]))
    return -turn @ result.acceleration[:3], -turn @ result.acceleration[3:]


def tip_lumps(study: Study, arm: int) -> list[Lump]:
    """Everything that rides on the tip of an arm."""
    return [lump for lump in study.assessment.lumps if lump.arm == arm]


def gathered(lumps: list[Lump]) -> tuple[float, Floats, Floats]:
    """Mass, kg, centre (3,), m, and inertia (3, 3) about it, of several bodies as one."""
    mass = sum(lump.mass for lump in lumps)
    centre: Floats = sum((lump.mass * lump.centre for lump in lumps), np.zeros(3)) / mass
    inertia = np.zeros((3, 3))
    for lump in lumps:
        r = lump.centre - centre
        inertia += lump.inertia + lump.mass * (r @ r * np.eye(3) - np.outer(r, r))
    return mass, centre, inertia


def rest_centre(study: Study, result: CaseResult) -> tuple[float, float, float]:
    """Middle, m, arm axes, of all that rides on the airframe but on the tip that it is held by."""
    held = result.case.held_arm
    _, centre, _ = gathered([each for each in study.assessment.lumps if each.arm != held])
    x, y, z = arm_axes(float(study.layout.arm_angles[held])) @ centre
    return float(x) - study.frame.clamp.root_radius, float(y), float(z)


def motor_mass(study: Study) -> PointMass:
    """Motor, propeller, mount and their screws on the tip of the first arm, in arm axes."""
    mass, centre, inertia = gathered(tip_lumps(study, 0))
    turn = arm_axes(float(study.layout.arm_angles[0]))
    place = turn @ centre - np.array([study.frame.clamp.root_radius, 0.0, 0.0])
    return PointMass("seat", mass, place, turn @ inertia @ turn.T)


def motor_load(study: Study, result: CaseResult) -> tuple[Floats, Floats]:
    """Force and moment of the hardest-pulling rotor on its mount, mount axes (z away from the arm).

    Thrust and torque, less what accelerates the motor itself.
    """
    motor, propeller = study.brief.motor, study.brief.propeller
    pull = result.case.rotor_thrust - (motor.mass + propeller.mass) * result.acceleration[2]
    rotor = int(np.argmax(np.abs(pull)))
    side = 1.0 if study.layout.upper[rotor] else -1.0
    force = np.array([0.0, 0.0, side * pull[rotor]])
    return force, np.array([0.0, 0.0, side * result.case.rotor_torque[rotor]])


def bolt_rows(frame: FrameDesign) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Numbers of the inner and the outer ones among the bolts of an arm's root."""
    points = root_bolts(frame)
    middle = frame.clamp.first + frame.clamp.pitch_x / 2
    inner = tuple(i for i, (x, _) in enumerate(points) if x < middle)
    return inner, tuple(i for i in range(len(points)) if i not in inner)


def plate_loads(study: Study, result: CaseResult, plate: int) -> tuple[FaceLoad, ...]:
    """What the arms do to one plate (0 upper, 1 lower) at every pair of clamp bolts, plate axes."""
    found, frame = study.assessment.structure, study.frame
    pushed = _nodal(study, result)
    bottom = _plate_bottom(frame, plate)
    loads = []
    for arm in range(frame.n_arms):
        for pair in (0, 1):
            node = 2 + arm * NODES_PER_ARM + 2 * plate + pair
            at = found.frame.nodes[node] - np.array([0.0, 0.0, bottom])
            load = pushed[node]
            loads.append(FaceLoad(f"arm {arm} pair {pair}", load[:3], at, load[3:]))
    if plate == LOWER and result.case.slung_force:
        down = np.array([0.0, 0.0, -result.case.slung_force])
        loads.append(FaceLoad("carried", down, np.zeros(3)))
    return tuple(loads)


def _nodal(study: Study, result: CaseResult) -> Floats:
    """(n, 6): what the plates' own strips need at each node, N and N m, body axes."""
    frame = study.assessment.structure.frame
    rows = study.assessment.structure.beams_of("plates")
    _, turn = local_axes(frame)
    total = np.zeros((len(frame.nodes), 6))
    for row in rows:
        for end in (0, 1):
            node = frame.elements[row, end]
            local = result.forces[row, end].reshape(2, 3)
            force, moment = local @ turn[row]
            arm = frame.offsets[row, end]
            total[node] += np.concatenate((force, moment + np.cross(arm, force)))
    return total


def _plate_bottom(frame: FrameDesign, plate: int) -> float:
    gap = frame.plate_gap / 2
    return gap if plate == UPPER else -gap - frame.plate.thickness


def carried_mass(study: Study, plate: int) -> PointMass:
    """All that rides on the middle of one plate, plate axes; loose items too, for their pull."""
    own = ("upper_plate", "lower_plate", *BUILT_IN)
    mine = [
        lump
        for lump in study.assessment.lumps
        if lump.arm < 0
        and (lump.fixed or lump.loose)
        and lump.part not in own
        and (lump.centre[2] > 0.0) == (plate == UPPER)
    ]
    bottom = _plate_bottom(study.frame, plate)
    mass, centre, inertia = gathered([_tied_at(lump, bottom) for lump in mine])
    return PointMass("carried", mass, centre - np.array([0.0, 0.0, bottom]), inertia)


def _tied_at(lump: Lump, bottom: float) -> Lump:
    """A loose item that hangs, at the plate, ``bottom`` (m) above the mid-plane, to which its line
    is tied; others as they are."""
    if not lump.loose or lump.centre[2] > 0.0:
        return lump
    return replace(lump, centre=np.array([*lump.centre[:2], bottom]), inertia=np.zeros((3, 3)))


def worst_foot(study: Study, result: CaseResult) -> tuple[Floats, Floats]:
    """Force (3,), N, and moment (3,), N m, on the end of the leg that the ground pushes most, leg
    axes (x outwards): of the ground, and of the skid that ties it to another."""
    forces = result.case.foot_force
    leg = int(np.argmax(np.linalg.norm(forces, axis=1)))
    turn = arm_axes(float(study.layout.arm_angles[study.frame.leg.arms[leg]]))
    held = _tied(study, result)[leg]
    return np.asarray(turn @ (forces[leg] - held[:3])), np.asarray(turn @ -held[3:])


def _tied(study: Study, result: CaseResult) -> Floats:
    """Force and moment (legs, 6), N and N m, of every leg's end on its skid, body axes; nothing
    without skids."""
    structure = study.assessment.structure
    found = np.zeros((len(structure.feet), 6))
    if study.frame.skid is None:
        return found
    forces = tie_forces(structure, result.displacements)
    for pair, ends in zip(sides(structure), forces, strict=True):
        turn = np.kron(np.eye(2), tie_axes(structure, *pair))
        for node, own in zip(pair, ends, strict=True):
            found[structure.feet.index(node)] = turn.T @ own
    return found


def arm_figures(study: Study) -> dict[str, float]:
    """Beam figures of one arm with its plates held, by the names of the solid's figures."""
    structure = study.assessment.structure
    first, last = 2 + PLATE_NODES, 2 + NODES_PER_ARM
    held = [n for n in range(len(structure.frame.nodes)) if not first <= n < last]
    turn = arm_axes(float(study.layout.arm_angles[0]))
    found: dict[str, float] = {}
    tip = structure.tips[0]
    up = np.array([0.0, 0.0, study.frame.arm.depth_root / 2])
    _, own = matrices(replace(structure.frame, masses=()))
    moving = rigid_shapes(structure.frame.nodes)
    for result in study.assessment.results:
        force, moment = tip_load(study, result)
        field, spin = arm_felt(study, result)
        felt = np.concatenate((turn.T @ field, turn.T @ spin))
        loads = np.asarray(own @ (moving @ felt)).reshape(-1, 6)
        loads[tip, :3] += turn.T @ force
        loads[tip, 3:] += turn.T @ (moment + np.cross(up, force))
        moved = solve_static(structure.frame, loads, all_dofs(*held)).displacements[tip]
        at_top = moved[:3] + np.cross(moved[3:], up)
        name = result.case.title
        found[f"{name}: deflection of seat"] = float(np.linalg.norm(at_top))
        found[f"{name}: tilt of seat"] = float(np.linalg.norm(moved[3:]))
    for number, frequency in enumerate(study.arm_modes.frequencies, 1):
        found[f"mode {number}"] = float(frequency)
    return found
