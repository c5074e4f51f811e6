"""Loads on the parts: in balance with the beam frame, preload under every screw alike."""

import numpy as np
import pytest

from refledge.flight.air import GRAVITY
from refledge.solids.cases import FaceLoad, Pressure
from refledge.study import Study
from refledge.verify import beam_forces
from refledge.verify.setup import arm_setup, lower_plate_setup, tray_setup, upper_plate_setup

pytestmark = pytest.mark.slow


def test_an_arm_is_in_balance_with_what_it_does_to_the_plates(study: Study) -> None:
    """Newton on the worst arm in flight: tip force and own inertia are what the plates take, with
    those of a leg that hangs from the arm's outer bolts."""
    mass, leg = (next(s.mass for s in study.parts if s.key == key) for key in ("arm", "leg"))
    setup = arm_setup(study)
    for case, result in zip(setup.cases, study.assessment.results, strict=True):
        if result.case.kind != "flight":
            continue
        arm = beam_forces.worst_arm(study, result)
        turn = beam_forces.arm_axes(float(study.layout.arm_angles[arm]))
        plates = [
            load.force
            for plate in (0, 1)
            for load in beam_forces.plate_loads(study, result, plate)
            if load.face.startswith(f"arm {arm} ")
        ]
        (tip,) = (load for load in case.loads if isinstance(load, FaceLoad))
        centre = np.array([study.frame.arm.length / 2, 0.0, 0.0])
        own = mass * case.felt(centre)
        if arm in study.frame.leg.arms:
            own = own + leg * case.felt(np.zeros(3))
        wanted = turn @ np.sum(plates, axis=0)
        scale = float(np.abs(wanted).max())
        assert np.allclose(tip.force + own, wanted, atol=0.02 * scale), case.name
        assert float(np.abs(own).max()) > 0.03 * scale


def test_point_masses_of_the_arm_ride_in_modes_only(study: Study) -> None:
    assert all(not case.riders_feel for case in arm_setup(study).cases)


def test_an_arm_is_judged_on_plates_that_yield(study: Study) -> None:
    """A column of the plate's plastic, as thick as it is, under each ring of the clamp."""
    (bed,) = arm_setup(study).yields
    plate = study.frame.plate
    plastic = study.task.materials[plate.material]
    assert bed.face == "clamp"
    assert bed.normal * plate.thickness == pytest.approx(plastic.E_z)
    assert bed.tangential * plate.thickness == pytest.approx(plastic.G_xz)


def test_what_hangs_from_one_arm_feels_its_weight_once(study: Study) -> None:
    """Hanging still: gravity, not twice; nor is weight added to what a landing gives."""
    results = {each.case.title: each for each in study.assessment.results}
    for setup in (tray_setup(study), arm_setup(study)):
        for case in setup.cases:
            result = results[case.name]
            if result.case.held_arm >= 0:
                assert np.linalg.norm(case.field) == pytest.approx(GRAVITY)
                assert case.field[2] == pytest.approx(-GRAVITY)
            else:
                assert case.field[2] == pytest.approx(-result.acceleration[2])


def test_every_screw_of_a_plate_has_its_preload(study: Study) -> None:
    for setup in (upper_plate_setup(study), lower_plate_setup(study)):
        for case in setup.cases:
            squeezed = {load.face: load.value for load in case.loads if isinstance(load, Pressure)}
            assert set(squeezed) == set(setup.regions)
            strength = study.task.materials[study.frame.plate.material].strength_xy
            assert max(squeezed.values()) <= 0.2 * strength
            assert min(squeezed.values()) == pytest.approx(max(squeezed.values()))
