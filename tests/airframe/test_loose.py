"""Items that are not fixed: they load the frame by hand-calculated amounts, and do not shake it."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest

from refledge.airframe.inventory import total_mass
from refledge.airframe.sizing import Sized
from refledge.airframe.stance import stance
from refledge.airframe.statics import CaseResult, solve_cases
from refledge.airframe.structure import LOWER, Structure
from refledge.airframe.task import Task
from refledge.analysis.beam import modes, rigid_body_mass
from refledge.flight.air import GRAVITY
from refledge.model.brief import Brief
from refledge.model.items import Condition, Placed
from refledge.verify.beam_forces import carried_mass
from tests.airframe.building import Built, built

MASS = 0.4


def lamp(*, fixed: bool, z: float, x: float = 0.0) -> Placed:
    return Placed(
        name="lamp", mass=MASS, condition=Condition(sound=1), length=0.05, width=0.05, height=0.04,
        x=x, z=z, fixed=fixed,
    )  # fmt: skip


def with_lamp(brief: Brief, item: Placed) -> Brief:
    """Nothing but the lamp besides battery, flight controller and payload."""
    return replace(brief, others=(item,))


def with_(task: Task, sized: Sized, item: Placed) -> Built:
    return built(task, sized.frame, sized.layout, with_lamp(task.brief, item))


def solved(task: Task, sized: Sized, item: Placed | None) -> tuple[Structure, CaseResult]:
    """Rotors that hold just the weight of all, the slung payload and the lamp (if any)."""
    brief = replace(task.brief, others=(item,) if item else ())
    made = built(task, sized.frame, sized.layout, brief)
    case = sized.assessment.result("hover").case
    each = total_mass(made.lumps) * GRAVITY / len(case.rotor_thrust)
    level = replace(
        case,
        rotor_thrust=np.full_like(case.rotor_thrust, each),
        slung_force=task.brief.payload.mass * GRAVITY,
    )
    return made.structure, solve_cases(made.structure, sized.layout, (level,))[0]


@pytest.mark.parametrize("z", [0.03, -1.5], ids=["above", "hung"])
def test_rotors_that_hold_the_weight_accelerate_by_g(task: Task, sized: Sized, z: float) -> None:
    """Thrust less pull over mass is g with the lamp among the masses, and more without it."""
    structure, result = solved(task, sized, lamp(fixed=False, z=z))
    body = rigid_body_mass(structure.frame)
    up = result.acceleration[2] + np.cross(result.acceleration[3:], body.centre)[2]
    assert up == pytest.approx(GRAVITY, rel=2e-3)  # its centre is not quite the rotors'


@pytest.mark.parametrize("z", [0.03, -1.5], ids=["above", "hung"])
def test_a_loose_item_in_the_middle_is_carried_by_the_arms(
    task: Task, sized: Sized, z: float
) -> None:
    """By statics: the lamp's weight more on six rotors comes down six arms, a sixth in each."""
    beams = sized.assessment.structure
    with_it, without = (solved(task, sized, each)[1] for each in (lamp(fixed=False, z=z), None))
    more = 0.0
    for arm in range(sized.frame.n_arms):
        outer = beams.beams_of("arm", arm)[2]  # from the motor inwards: the tenon
        more += with_it.forces[outer, 1, 2] - without.forces[outer, 1, 2]
    assert abs(more) == pytest.approx(MASS * GRAVITY, rel=1e-6)


def test_above_it_loads_as_if_it_were_fixed_and_shakes_as_if_it_were_not_there(
    task: Task, sized: Sized
) -> None:
    loose, fixed = (solved(task, sized, lamp(fixed=each, z=0.03, x=0.02)) for each in (False, True))
    np.testing.assert_allclose(loose[1].forces, fixed[1].forces, atol=1e-9)
    bare = built(task, sized.frame, sized.layout, replace(task.brief, others=())).structure
    found = [modes(each.frame, 20)[0] for each in (loose[0], bare, fixed[0])]
    np.testing.assert_allclose(found[0], found[1], rtol=1e-9)
    assert np.abs(found[0] / found[2] - 1).max() > 1e-3


def test_what_hangs_does_not_turn_with_the_airframe(task: Task, sized: Sized) -> None:
    """On a line of 1.5 m it would be most of the inertia in roll; it pulls at the belly."""
    loose = with_(task, sized, lamp(fixed=False, z=-1.5)).structure
    body, bare = rigid_body_mass(loose.loaded), rigid_body_mass(loose.frame)
    assert body.mass == pytest.approx(bare.mass + MASS, rel=1e-9)
    belly = loose.frame.nodes[loose.belly]
    away = (bare.mass * bare.centre + MASS * belly) / body.mass
    np.testing.assert_allclose(body.centre, away, atol=1e-9)
    assert body.inertia[0, 0] < 1.3 * bare.inertia[0, 0]


def test_it_stands_with_the_airframe_on_the_ground(task: Task, sized: Sized) -> None:
    high = [
        stance(sized.frame, each.structure, each.lumps, task.hardware)
        for each in (with_(task, sized, lamp(fixed=f, z=0.03)) for f in (False, True))
    ]
    assert high[0] == pytest.approx(high[1])


def test_plates_as_solids_carry_it_too(task: Task, sized: Sized) -> None:
    """Hanging 1.5 m below, it is the plate's at the plate itself."""
    masses = []
    for brief in (replace(task.brief, others=()), None):
        item = lamp(fixed=False, z=-1.5, x=0.02)
        found = built(task, sized.frame, sized.layout, brief or with_lamp(task.brief, item))
        study = SimpleNamespace(frame=sized.frame, assessment=found)
        masses.append(carried_mass(study, LOWER))  # type: ignore[arg-type]
    bare, mine = masses
    assert mine.mass == pytest.approx(bare.mass + MASS, rel=1e-9)
    place = (bare.mass * bare.centre + MASS * np.array([0.02, 0.0, 0.0])) / mine.mass
    np.testing.assert_allclose(mine.centre, place, atol=1e-9)
