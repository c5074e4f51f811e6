"""The whole airframe as solids: every part in its place, glued where parts touch, floating free.

Glue is the stiff side of what bolts do; the beam frame's springs are the soft side. The truth lies
between, so both are shown. Items ride as masses on the faces that carry them.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from refledge.airframe.felt import TURNING_SHARE
from refledge.airframe.inventory import Lump
from refledge.analysis.balance import permissible_unbalance
from refledge.geometry import kernel
from refledge.solids.cases import PointMass
from refledge.solids.harmonic import Shaker, harmonic, unbalance
from refledge.solids.modal import Modes
from refledge.solids.part import PrintedBody, solve_on
from refledge.solids.port import MeshSize, Regions, mesh_solids
from refledge.solids.regions import Plane
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify.beam_forces import gathered
from refledge.verify.plastics import printed_body
from refledge.verify.results import WholeVerified

EDGE = 12e-3
"""m; greatest edge: two or three quadratic elements over an arm's depth."""
MODES = 12
SPEEDS = 60
"""Rotor speeds of the response, idle to full."""
CONTROLLER, BELLY = "controller", "belly"

Progress = Callable[[str, float], None]


def verify_whole(
    study: Study, edge: float = EDGE, progress: Progress = lambda _what, _share: None
) -> WholeVerified:
    """Mesh, modes, response. Raises AnalysisError where the parts cannot be meshed together."""
    bodies = whole_bodies(study)
    regions, masses = carried(study)
    progress("mesh of the whole airframe", 0.0)
    mesh = mesh_solids({k: b.solid for k, b in bodies.items()}, regions, MeshSize(edge))
    progress("modes of the whole airframe", 0.3)
    found = solve_on(mesh, bodies, masses=masses, n_modes=MODES).modes
    assert found is not None  # modes were asked for
    progress("response of the whole airframe", 0.9)
    partner, assurance = paired(study, found)
    speed, controller, belly = response(study, found)
    return WholeVerified(
        dofs=mesh.dofs,
        frequencies=found.frequencies,
        partner=partner,
        assurance=assurance,
        beam=study.airframe_modes.frequencies[list(partner)],
        speed=speed,
        at_controller=controller,
        at_belly=belly,
    )


def whole_bodies(study: Study) -> dict[str, PrintedBody]:
    """Every part in its place, its layers turned along."""
    made = {}
    for place in study.assembly.placements:
        if place.group != "part":
            continue
        body = printed_body(study, place.key)
        up = place.rotation @ np.array(body.build)
        solid = kernel.move(body.solid, place.rotation, place.translation)
        build = (float(up[0]), float(up[1]), float(up[2]))
        made[place.name] = replace(body, solid=solid, build=build)
    return made


def carried(study: Study) -> tuple[Regions, tuple[PointMass, ...]]:
    """Faces that carry items, and the items on them: motors, controller side, battery side."""
    frame, layout = study.frame, study.layout
    regions: dict[str, Plane] = {}
    groups: dict[str, list[Lump]] = {}
    reach = float(np.hypot(frame.mount.length, 2 * frame.mount.seat_radius)) / 2 + 2e-3
    for rotor, position in enumerate(layout.positions):
        z = frame.seat_height if layout.upper[rotor] else frame.lower_seat_height
        name = f"motor {rotor + 1}"
        regions[name] = _level(position[:2], z, reach)
        side = [
            lump
            for lump in study.assessment.lumps
            if lump.arm == layout.arm_of_rotor[rotor] and not lump.part
        ]
        groups[name] = _of_rotor(side, bool(layout.upper[rotor]), layout.paired)
    half = frame.plate_gap / 2 + frame.plate.thickness
    top = half + frame.seat.post_height + frame.seat.thickness
    regions[CONTROLLER] = _level(np.zeros(2), top, frame.seat.side)
    regions[BELLY] = _level(np.zeros(2), -half - frame.tray.thickness, frame.tray.length)
    middle = [
        lump
        for lump in study.assessment.lumps
        if lump.arm < 0 and lump.fixed and (not lump.part or lump.group == "fasteners")
    ]
    groups[CONTROLLER] = [lump for lump in middle if lump.centre[2] > 0.0]
    groups[BELLY] = [lump for lump in middle if lump.centre[2] <= 0.0]
    masses = [PointMass(name, *gathered(lumps)) for name, lumps in groups.items() if lumps]
    return regions, tuple(masses)


def _level(middle: Floats, z: float, reach: float) -> Plane:
    x, y = float(middle[0]), float(middle[1])
    low, high = (x - reach, y - reach, -1.0), (x + reach, y + reach, 1.0)
    return Plane((x, y, float(z)), (0.0, 0.0, 1.0), low, high)


def _of_rotor(lumps: list[Lump], upper: bool, paired: bool) -> list[Lump]:
    """Of an arm's tip, what belongs to the upper or the lower rotor of a pair."""
    if not paired:
        return lumps
    heights = [lump.centre[2] for lump in lumps]
    split = (max(heights) + min(heights)) / 2
    return [lump for lump in lumps if (lump.centre[2] > split) == upper]


def paired(study: Study, found: Modes) -> tuple[tuple[int, ...], Floats]:
    """For each solid mode the most alike beam mode, and their modal assurance criterion.

    Compared at motors, controller and belly, translations weighted by the mass there (Allemang and
    Brown, A correlation coefficient for modal vector analysis, 1982).
    """
    structure, shapes = study.assessment.structure, study.airframe_modes.shapes
    nodes = [structure.tips[arm] for arm in study.layout.arm_of_rotor]
    nodes += [structure.hub, structure.belly]
    beam = shapes[:, nodes, :3]
    names = [f"motor {rotor + 1}" for rotor in range(study.layout.n_rotors)]
    solid = np.stack([found.motion(name)[:, :3] for name in (*names, CONTROLLER, BELLY)], axis=1)
    weight = np.sqrt(_weights(study))[None, :, None]
    a = (solid * weight).reshape(len(solid), -1)
    b = (beam * weight).reshape(len(beam), -1)
    share = (a @ b.T) ** 2 / np.outer(np.sum(a**2, axis=1), np.sum(b**2, axis=1))
    best = np.argmax(share, axis=1)
    return tuple(int(each) for each in best), share[np.arange(len(best)), best]


def _weights(study: Study) -> Floats:
    """(rotors + 2,), kg: what rides at each compared place."""
    motor = study.brief.motor.mass + study.brief.propeller.mass
    middle = [lump for lump in study.assessment.lumps if lump.arm < 0 and lump.fixed]
    above = sum(lump.mass for lump in middle if lump.centre[2] > 0.0)
    below = sum(lump.mass for lump in middle if lump.centre[2] <= 0.0)
    return np.array([*([motor] * study.layout.n_rotors), above, below])


def response(study: Study, found: Modes) -> tuple[Floats, Floats, Floats]:
    """Rotor speeds (rad/s) and accelerations (m/s2) at controller and belly, (s,) each.

    Every rotor keeps the residual unbalance of the brief's balance grade at hover speed (ISO
    21940-11); rotors are out of step, so they add as the root of their squares.
    """
    speeds, brief = study.speeds, study.brief
    turning = TURNING_SHARE * brief.motor.mass + brief.propeller.mass
    hover = max(speeds.hover_speeds)
    moment = float(permissible_unbalance(brief.limits.balance_grade, turning, hover))
    speed = np.linspace(max(speeds.idle_speed, 1.0), speeds.full_speed, SPEEDS)
    frequency = speed / (2 * np.pi)
    damping = study.task.materials[study.frame.arm.material].damping
    total = {CONTROLLER: np.zeros(SPEEDS), BELLY: np.zeros(SPEEDS)}
    for rotor in range(study.layout.n_rotors):
        force = unbalance(frequency, moment, study.layout.spin[rotor], np.array([0.0, 0.0, 1.0]))
        shaker = Shaker(f"motor {rotor + 1}", study.layout.positions[rotor], force)
        moved = harmonic(found, damping, shaker, frequency, (CONTROLLER, BELLY))
        for name in (CONTROLLER, BELLY):
            total[name] += np.sum(np.abs(moved.accelerations[name][:, :3]) ** 2, axis=1)
    return speed, np.sqrt(total[CONTROLLER]), np.sqrt(total[BELLY])
