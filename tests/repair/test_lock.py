"""A shear bolt at the root of folding arms: it breaks first, and takes its arm out of the way."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from scipy import stats

from refledge.airframe.blows.cases import crash_cases
from refledge.airframe.blows.energy import blow
from refledge.airframe.blows.places import material_of
from refledge.airframe.hinge_weak import lock_sizes, lock_steps
from refledge.airframe.sizing import Sized, screen
from refledge.airframe.task import Task
from refledge.geometry.hinge import hinge_of
from refledge.repair.breaking import Asked, locks_to_carry
from refledge.repair.marching import Model, make_model
from refledge.repair.reduced import without
from refledge.repair.sampling import chances
from refledge.repair.survival import Rate
from refledge.repair.weak_link import weak_link


@pytest.fixture(scope="module")
def folding(task: Task) -> Task:
    wish = replace(task.brief.frame, arm_root="folding", weak_link="bolt", mast="")
    return replace(task, brief=replace(task.brief, frame=wish))


@pytest.fixture(scope="module")
def hinged(folding: Task) -> Sized:
    return screen(folding, "box", "ASA")


@pytest.fixture(scope="module")
def hinged_model(folding: Task, hinged: Sized) -> Model:
    return make_model(folding, hinged.frame, hinged.assessment)


def test_every_arm_has_a_lock_that_may_break(hinged_model: Model, model: Model) -> None:
    locks = [part for part in hinged_model.parts if part.startswith("lock")]
    assert locks == [f"lock {n + 1}" for n in range(6)]
    assert not any(part.startswith("lock") for part in model.parts)


def test_a_lock_that_breaks_takes_its_arm_and_motor_out_of_the_crash(hinged_model: Model) -> None:
    arms = without(hinged_model.frame, hinged_model.structure, frozenset({"arm 2"}))
    locks = without(hinged_model.frame, hinged_model.structure, frozenset({"lock 2"}))
    assert np.array_equal(arms.mass_per_length, locks.mass_per_length)
    assert len(arms.masses) == len(locks.masses) < len(hinged_model.frame.masses)
    reduced, _ = hinged_model.reduced(frozenset({"lock 2"}))
    gone = [p.owner for p, there in zip(hinged_model.points, reduced.present, strict=True)
            if not there]  # fmt: skip
    assert set(gone) == {"arm 2", "mount 2"}


def test_by_energy_the_lock_goes_before_what_is_dear(hinged_model: Model) -> None:
    for case in crash_cases(hinged_model.structure, hinged_model.points):
        if case.key in ("arm-tip", "cartwheel"):
            uses = blow(hinged_model, case, 5.0).uses
            lock = max(use for part, use in uses.items() if part.startswith("lock"))
            dear = [use for part, use in uses.items()
                    if part.split()[0] in ("plates", "mount", "electronics")]  # fmt: skip
            assert lock > max(dear), case.title


def test_by_marching_it_goes_first_more_often_than_steel_does(
    folding: Task, hinged: Sized, hinged_model: Model
) -> None:
    """30 strikes onto an arm's tip, the same ones with a lock ten times as strong."""
    cases = {c.key: c for c in crash_cases(hinged_model.structure, hinged_model.points)}

    def of(scale: float) -> tuple[float, float]:
        found = chances(hinged_model, folding, hinged.frame, cases["arm-tip"], 30,
                        scale={"lock": scale})  # fmt: skip
        return found.first_of("lock"), found.first_of("plates")

    shear, steel = of(1.0), of(10.0)
    assert shear[0] > 0.5 > steel[0] == 0.0
    assert shear[1] < steel[1]


def test_other_sizes_of_lock_are_tried_by_their_strength(
    folding: Task, hinged: Sized, hinged_model: Model
) -> None:
    own = hinge_of(hinged.frame).lock
    bolts = folding.hardware.shear_bolts
    sizes = lock_sizes(folding, hinged.frame)
    assert own not in sizes.values()
    for scale, size in sizes.items():
        assert scale == pytest.approx(bolts[size].stress_area / bolts[own].stress_area)
    steps = lock_steps(folding, hinged.frame)
    assert steps[0] == 1.0
    assert list(steps[1:]) == sorted(sizes, reverse=True)
    cases = crash_cases(hinged_model.structure, hinged_model.points)
    link = weak_link("bolt", hinged_model, folding, hinged.frame, hinged.assessment,
                     cases[:1], 8)  # fmt: skip
    assert link.key == "lock"
    assert [each.scale for each in link.tries] == list(steps)
    assert own in link.size
    assert link.tries[0].landing_margin > link.tries[-1].landing_margin


def test_polyamide_scatters_more_than_steel(folding: Task, hinged: Sized) -> None:
    nylon, _ = material_of(folding, hinged.frame, "lock 1")
    steel = replace(hinged.frame, hinge=replace(hinge_of(hinged.frame), lock="M3", kind="steel"))
    assert nylon > 2 * material_of(folding, steel, "lock 1")[0]


def test_bolts_to_carry_are_a_quantile_of_the_crashes() -> None:
    """Two bolts broken in each crash, one crash an hour for sure, ten hours: negative binomial."""
    case = SimpleNamespace(copies={"lock": np.array([0.0, 0.0, 1.0])})
    rate, asked = Rate(400.0, 400.0 * 3600.0), Asked(flying=10 * 3600.0, service=0.9)
    share = rate.exposure / (rate.exposure + asked.flying)
    crashes = int(stats.nbinom.ppf(0.9, rate.events, share))
    assert locks_to_carry([case], [1.0], rate, asked) == 2 * crashes  # type: ignore[list-item]
    more = replace(asked, service=0.99)
    assert locks_to_carry([case], [1.0], rate, more) > 2 * crashes  # type: ignore[list-item]
    clamped = SimpleNamespace(copies={"arm": np.array([1.0])})
    assert locks_to_carry([clamped], [1.0], rate, asked) == 0  # type: ignore[list-item]
