"""Loads and supports of an arm on the grid against the beam frame and plain statics."""

import numpy as np
import pytest

from refledge.flight.air import GRAVITY
from refledge.shaping.figures import Stand, figures_of
from refledge.shaping.loads import ALIKE, SHAKE, seat_centre, tip_loads
from refledge.shaping.space import Space
from refledge.shaping.voxelise import solid_shares
from refledge.study import Study
from refledge.verify.beam_forces import motor_mass, tip_load
from tests.shaping.conftest import pulled


def test_loads_are_the_beams_and_unlike_each_other(study: Study) -> None:
    loads = {each.name: each for each in tip_loads(study)}
    full = study.assessment.result("full-thrust")
    force, moment = tip_load(study, full)
    assert loads[full.case.title].wrench == pytest.approx(np.concatenate([force, moment]))
    assert loads[full.case.title].wrench[2] > 0
    assert {each.kind for each in loads.values()} == {"flight", "landing", "handling", "shake"}
    flights = [each for each in loads.values() if each.kind == "flight"]
    assert len(flights) == 1
    assert ALIKE < 1


def test_the_shaken_rider_pulls_at_its_own_centre(study: Study) -> None:
    shake = next(each for each in tip_loads(study) if each.name == SHAKE)
    mass = motor_mass(study)
    height = mass.centre[2] - study.frame.arm.depth_root / 2
    assert shake.wrench[1] == pytest.approx(mass.mass * 9.80665)
    assert shake.wrench[3] == pytest.approx(-height * mass.mass * 9.80665)


def test_nodal_forces_add_up_to_the_load(study: Study, stand: Stand) -> None:
    x, y, z = np.broadcast_arrays(*stand.body.grid.axes())
    cx, cy, cz = seat_centre(study.frame)
    for load, field in zip(stand.loads, stand.fields, strict=True):
        assert field.sum(axis=(1, 2, 3)) == pytest.approx(load.wrench[:3], abs=1e-6)
        fx, fy, fz = field
        about = [
            ((y - cy) * fz - (z - cz) * fy).sum(),
            ((z - cz) * fx - (x - cx) * fz).sum(),
            ((x - cx) * fy - (y - cy) * fx).sum(),
        ]
        assert about == pytest.approx(load.wrench[3:], abs=1e-6)


def test_held_under_the_bolts_on_both_faces_and_nowhere_else(study: Study, stand: Stand) -> None:
    held = stand.body.held[0]
    x, _, z = stand.body.grid.axes()
    half = study.frame.arm.depth_root / 2
    levels = np.unique(np.broadcast_to(z, held.shape)[held])
    assert levels == pytest.approx([-half, half])
    assert np.broadcast_to(x, held.shape)[held].max() <= study.frame.arm.root_length
    assert (stand.body.held == held).all()


def test_half_as_stiff_moves_twice_as_far_and_swings_slower(
    study: Study, space: Space, stand: Stand
) -> None:
    """Under what rides on the tip alone: the arm's own forces are halved with it. Frequencies: all
    of the stiffness, but only the arm's part of the mass, is halved."""
    whole = (~space.void).astype(float)
    alone = pulled(stand, 1.0, 0.0)
    one, half = figures_of(study, alone, whole), figures_of(study, alone, whole / 2)
    for a, b in zip(one.moved, half.moved, strict=True):
        assert b.deflection == pytest.approx(2 * a.deflection, rel=1e-3)
        assert b.compliance == pytest.approx(2 * a.compliance, rel=1e-3)
    assert half.mass == pytest.approx(one.mass / 2)
    ratio = half.frequencies[0] / one.frequencies[0]
    assert np.sqrt(0.5) < ratio < 0.95


def test_the_tips_share_is_of_what_rides_there_and_the_rest_is_the_arms_own(
    study: Study, space: Space, stand: Stand
) -> None:
    """In landing no rotor pulls: the tip bears the mass on it in the field felt there, nothing of
    the arm's; what the clamp holds is that and every voxel in the field felt in its place."""
    rider = motor_mass(study)
    landing = next(each for each in stand.loads if each.kind == "landing")
    there = np.array(landing.felt.at(*rider.centre))
    assert np.abs(landing.wrench[:3]).max() > 10.0
    assert landing.wrench[:3] == pytest.approx(rider.mass * there, rel=1e-6, abs=1e-6)
    share = solid_shares(study.solids["arm"], space.grid)
    voxel = stand.body.law.rho * space.grid.spacing**3
    for load, field in zip(stand.loads, stand.pulling(share), strict=True):
        own = np.stack(np.broadcast_arrays(*load.felt.at(*space.grid.centres())))
        whole = load.wrench[:3] + (voxel * share * own).sum(axis=(1, 2, 3))
        assert field.sum(axis=(1, 2, 3)) == pytest.approx(whole, rel=1e-6, abs=1e-6)
    shake = stand.load(SHAKE).felt
    assert np.array(shake.at(0.1, 0.2, 0.3)) == pytest.approx([0, GRAVITY, 0])
