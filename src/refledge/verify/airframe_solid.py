"""The whole airframe as solids: every part reduced to its joints, copies joined, floating free.

Parts hold each other only where bolts press them together. Passing on forces that vary linearly
over each pressed patch is the soft side of glue on that patch, patches that keep their shape are
the stiff side; the headline figures take the soft side and the other stands beside them. Items
ride as masses on the faces that carry them.
"""

from collections.abc import Callable, Mapping

import numpy as np

from refledge.airframe.assessment import airframe_modes
from refledge.airframe.felt import TURNING_SHARE
from refledge.airframe.skid_ties import untied
from refledge.analysis.balance import permissible_unbalance
from refledge.model.results import ModeSet
from refledge.solids.assembly import Material, Matrices, assemble
from refledge.solids.cases import PointMass
from refledge.solids.harmonic import unbalance
from refledge.solids.honesty import richardson
from refledge.solids.mesh import SolidMesh
from refledge.solids.modal import alike, in_span
from refledge.solids.part import RATIO, material_of, meshed
from refledge.solids.port import MeshSize
from refledge.solids.reduction import Component, reduce
from refledge.solids.synthesis import Copy, Joined, join, shaken
from refledge.solids.system import build
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify.assembled import Assembled, At, assembled, carried
from refledge.verify.pieces import Piece
from refledge.verify.results import WholeVerified

SIZE = MeshSize(6e-3)
"""Finer mesh; on the coarser all edges, those at bores and fillets too, are RATIO times as long."""
PART_MODES = 8
"""Elastic modes that each free part keeps beside its static answers: with as many, two bolted bars
come within 0.2 % of their full meshes (tests/solids/test_synthesis.py)."""
MODES = 12
GROUP = 0.02
"""Beam modes this near to each other, relative, count as one group. Our choice."""
SPEEDS = 120
"""Rotor speeds of the response, idle to full."""

Progress = Callable[[str, float], None]


def verify_whole(
    study: Study,
    size: MeshSize = SIZE,
    progress: Progress = lambda _what, _share: None,
) -> WholeVerified:
    """Modes with mesh error on both sides of the joints, response. Raises AnalysisError where a
    part cannot be meshed or parts do not meet."""
    parts = assembled(study)
    sizes = size.finer(1 / RATIO), size
    coarse, stiff, _ = _joined(parts, sizes[0], progress, 0.0)
    fine, _, dofs = _joined(parts, sizes[1], progress, 0.5)
    frequencies = fine.frequencies[6 : 6 + MODES]
    shapes = _shapes(fine, parts.watched, MODES)
    before, stiff_ones = (
        _like(other, parts, shapes, frequencies, _weights(study)) for other in (coarse, stiff)
    )
    edges = [each.size for each in sizes]
    errors = [richardson(pair, edges).error for pair in zip(before, frequencies, strict=True)]
    partner, assurance = paired(study, shapes, frequencies)
    speed, controller, belly = response(study, fine, parts)
    progress("whole airframe done", 1.0)
    return WholeVerified(
        dofs=dofs,
        frequencies=frequencies,
        errors=np.array(errors),
        stiff=stiff_ones,
        partner=partner,
        assurance=assurance,
        beam=beam_modes(study).frequencies[list(partner)],
        speed=speed,
        at_controller=controller,
        at_belly=belly,
    )


def beam_modes(study: Study) -> ModeSet:
    """Modes of the beam frame with what the solids have: skids as masses, without their ties."""
    if study.frame.skid is None:
        return study.airframe_modes
    found = study.assessment
    return airframe_modes(study.task, study.frame, untied(found.structure), found.lumps)


def _like(
    other: Joined, parts: Assembled, shapes: Floats, frequencies: Floats, weight: Floats
) -> Floats:
    """(MODES,), Hz: frequencies of the modes of ``other`` that move as ``shapes`` do."""
    theirs = other.frequencies[6 : 6 + 2 * MODES]
    moved = _shapes(other, parts.watched, 2 * MODES)
    rows, _ = alike(shapes, moved, weight, (frequencies, theirs))
    return np.asarray(theirs[rows])


def _joined(
    parts: Assembled, size: MeshSize, progress: Progress, start: float
) -> tuple[Joined, Joined, int]:
    """The whole on one mesh: soft joints, at the ``start`` of the progress stiff ones too, and its
    unknowns."""
    soft: dict[str, Component] = {}
    stiff: dict[str, Component] = {}
    for number, piece in enumerate(parts.pieces):
        words = f"{piece.key.replace('_', ' ')} for the whole airframe, {1e3 * size.size:.1f} mm"
        progress(words, start + 0.5 * number / len(parts.pieces))
        mesh = meshed({piece.key: piece.body}, piece.ports, size)
        material = material_of(mesh, {piece.key: piece.body})
        matrices = assemble(mesh, material)
        soft[piece.key] = reduced(piece, mesh, material, matrices, stiff=False)
        if start == 0.0:
            stiff[piece.key] = reduced(piece, mesh, material, matrices, stiff=True)
    unknowns = sum(soft[place.key].dofs for place in parts.places)
    joined = _put_together(parts, soft)
    return joined, _put_together(parts, stiff) if stiff else joined, unknowns


def reduced(
    piece: Piece, mesh: SolidMesh, material: Material, matrices: Matrices, *, stiff: bool
) -> Component:
    """One part; with ``stiff`` joints its pressed patches keep their shape."""
    rigid = [PointMass(name, 0.0, np.zeros(3), rigid=True) for name in piece.bolted]
    system = build(mesh, material, masses=rigid if stiff else (), matrices=matrices)
    return reduce(system, tuple(piece.ports), PART_MODES)


def _put_together(parts: Assembled, components: Mapping[str, Component]) -> Joined:
    copies = [Copy(p.name, components[p.key], p.rotation, p.at) for p in parts.places]
    return join(copies, parts.joints, parts.riding)


def _shapes(found: Joined, watched: tuple[At, ...], count: int) -> Floats:
    """(count, places, 3): translations of the compared places in each elastic mode."""
    moved = np.stack([found.motion[at][:3, 6 : 6 + count] for at in watched])
    return np.asarray(moved.transpose(2, 0, 1))


def paired(study: Study, solid: Floats, frequencies: Floats) -> tuple[tuple[int, ...], Floats]:
    """For each solid mode the most alike beam mode, no two the same, and how alike they are.

    Compared at motors, controller and belly, translations weighted by the mass there; likeness is
    to all beam modes within ``GROUP`` of the partner's frequency together, as such modes mix.
    """
    structure, modes = study.assessment.structure, beam_modes(study)
    shapes = modes.shapes
    nodes = [structure.tips[arm] for arm in study.layout.arm_of_rotor]
    nodes += [structure.hub, structure.belly]
    weight = _weights(study)
    both = frequencies, modes.frequencies
    read = shapes[:, nodes, :3]
    partner, _ = alike(solid, read, weight, both)
    near = np.abs(np.log(both[1][partner][:, None] / both[1])) < GROUP
    likeness = [in_span(one, read[row], weight) for one, row in zip(solid, near, strict=True)]
    return tuple(int(each) for each in partner), np.array(likeness)


def _weights(study: Study) -> Floats:
    """(rotors + 2, 1), kg: what rides at each compared place."""
    masses = [sum(lump.mass for lump in lumps) for lumps in carried(study)]
    return np.array(masses)[:, None]


def response(study: Study, found: Joined, parts: Assembled) -> tuple[Floats, Floats, Floats]:
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
    read = (parts.controller, parts.belly)
    total = np.zeros((2, SPEEDS))
    for rotor, port in enumerate(parts.motors):
        force = unbalance(frequency, moment, study.layout.spin[rotor], np.array([0.0, 0.0, 1.0]))
        point = study.layout.positions[rotor]
        moved = shaken(found, damping, port, point, force, frequency, read)
        for row, name in enumerate(read):
            total[row] += np.sum(np.abs(moved[name][:, :3]) ** 2, axis=1)
    return speed, np.sqrt(total[0]), np.sqrt(total[1])
