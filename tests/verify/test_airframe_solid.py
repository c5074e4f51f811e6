"""The assembled airframe on parts that are all but rigid: masses, places, joints, pairing.

Real reductions are tested on meshes in tests/solids/test_synthesis.py; docs/verify.md has the
figures of the example's real parts.
"""

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.solids.faces import point_inertia, rigid_motion
from refledge.solids.reduction import Component
from refledge.solids.synthesis import Joined
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify import airframe_solid
from refledge.verify.airframe_solid import _put_together, _shapes
from refledge.verify.assembled import Assembled, assembled
from refledge.verify.pieces import Piece, _middle

pytestmark = pytest.mark.slow
SPRING = 1e9
"""1/s2; port against body: all elastic modes lie above some kHz."""


@pytest.fixture(scope="module")
def parts(study: Study) -> Assembled:
    return assembled(study)


def lumped(piece: Piece, mass: float) -> Component:
    """A rigid box of the part's size, each port on springs of its own."""
    low, high = kernel.bounds(piece.body.solid)
    size, centre = high - low, (low + high) / 2
    inertia = mass / 12 * (size @ size * np.eye(3) - np.diag(size**2))
    M = point_inertia(mass, inertia, centre)
    whiten = np.linalg.inv(np.linalg.cholesky(M)).T
    k = 6 + 6 * len(piece.ports)
    ports: dict[str, Floats] = {}
    for number, (name, region) in enumerate(piece.ports.items()):
        at = _middle(region) if name in piece.bolted else centre
        wide = np.zeros((6, k))
        moved = rigid_motion(at[None], np.zeros(3))
        wide[:3, :6], wide[3:, 3:6] = moved, np.eye(3)
        wide[:, :6] = wide[:, :6] @ whiten
        wide[:, 6 + 6 * number : 12 + 6 * number] = np.eye(6) * [1.0, 1, 1, 100, 100, 100]
        ports[name] = wide
    centres = {
        name: _middle(region) if name in piece.bolted else centre
        for name, region in piece.ports.items()
    }
    stiffness = np.concatenate((np.zeros(6), np.full(k - 6, SPRING)))
    return Component(stiffness, ports, centres, 100)


@pytest.fixture(scope="module")
def whole(study: Study, parts: Assembled) -> Joined:
    masses = {spec.key: spec.mass for spec in study.parts}
    return _put_together(parts, {p.key: lumped(p, masses[p.key]) for p in parts.pieces})


def test_all_parts_and_items_weigh_what_the_study_says(
    study: Study, parts: Assembled, whole: Joined
) -> None:
    """The six rigid modes hold 1/m on the diagonal where the centre of mass is (here: near it)."""
    rigid = whole.motion[parts.controller][:, :6]
    flexibility = rigid @ rigid.T
    lumps = [each for each in study.assessment.lumps if each.fixed]
    mass = sum(each.mass for each in lumps)
    turning = np.linalg.inv(flexibility)
    assert np.allclose(np.diag(turning)[:3], mass, rtol=1e-3)


def test_nothing_moves_apart(parts: Assembled, whole: Joined) -> None:
    for joint in parts.joints:
        gap = whole.motion[joint.one] - whole.motion[joint.other]
        size = np.abs(whole.motion[joint.one]).max()
        assert np.abs(gap[3:]).max() < 1e-6 * size
    assert len(whole.centres) == sum(
        len(piece.ports) for piece in parts.pieces for place in parts.places
        if place.key == piece.key
    )  # fmt: skip


def test_beam_modes_are_their_own_partners(study: Study) -> None:
    """Shapes of the beam frame itself, in another order, come back paired with themselves."""
    structure = study.assessment.structure
    nodes = [structure.tips[arm] for arm in study.layout.arm_of_rotor]
    nodes += [structure.hub, structure.belly]
    order = [8, 5, 3, 0, 2, 1]
    shapes = study.airframe_modes.shapes[:, nodes, :3][order]
    frequencies = 0.95 * study.airframe_modes.frequencies[order]
    partner, assurance = airframe_solid.paired(study, shapes, frequencies)
    assert list(partner) == order
    assert assurance == pytest.approx(1.0)


def test_a_rigid_airframe_answers_unbalance_by_its_mass(
    study: Study, parts: Assembled, whole: Joined
) -> None:
    """Force m e w^2 of all rotors, root of squares, over the mass, plus what turning adds: at least
    that and at most some times that."""
    speed, controller, belly = airframe_solid.response(study, whole, parts)
    assert speed[-1] == pytest.approx(study.speeds.full_speed)
    ratio = controller / speed**2
    assert np.allclose(ratio, ratio[0], rtol=0.05)  # no resonance in range
    mass = sum(each.mass for each in study.assessment.lumps if each.fixed)
    turning = 0.6 * study.brief.motor.mass + study.brief.propeller.mass
    e = study.brief.limits.balance_grade / max(study.speeds.hover_speeds)
    least = np.sqrt(2 * study.layout.n_rotors) * turning * e / mass
    assert least * 0.98 < ratio[0] < 6 * least
    assert len(belly) == len(speed)


def test_shapes_are_read_at_the_watched_places(parts: Assembled, whole: Joined) -> None:
    shapes = _shapes(whole, parts.watched, 4)
    assert shapes.shape == (4, len(parts.motors) + 2, 3)
    assert np.array_equal(shapes[1, -1], whole.motion[parts.belly][:3, 7])
