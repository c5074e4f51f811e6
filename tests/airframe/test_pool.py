"""The choice among candidates, and what is said to drive each dimension."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.arm_uses import ArmDemand, arm_uses
from refledge.airframe.bolting import longest_grip
from refledge.airframe.candidates import printed_candidates
from refledge.airframe.demand import arm_demand
from refledge.airframe.drivers import NAMES, find_drivers
from refledge.airframe.estimate import estimated_masses
from refledge.airframe.fillness import fill_of
from refledge.airframe.framing import frame_for, sized_legs
from refledge.airframe.plates import root_stiffness
from refledge.airframe.pool import Choice, Pool, blocking, choose
from refledge.airframe.pooling import build_pool, settings_of
from refledge.airframe.sizing import PLATES, Sized
from refledge.airframe.task import Task
from refledge.airframe.use_titles import title_of
from refledge.model.results import Driver

KEYS = ("tilt", "strength")


def pool(mass: list[float], tilt: list[float], strength: list[float]) -> Pool:
    return Pool("box", "ASA", (), np.array(mass), KEYS, np.array([tilt, strength]))


def test_the_lightest_that_holds_everything_is_chosen() -> None:
    found = choose(pool([1, 2, 3, 4], [1.2, 1.0, 0.5, 0.4], [0.3, 0.9, 0.2, 0.1]), {}, {})
    assert (found.index, found.feasible) == (1, True)
    assert (found.worst, found.worst_use) == ("tilt", 1.0)


def test_the_least_excess_in_all_is_chosen_where_nothing_holds() -> None:
    """0.3 + 0.3 over beats 0.5 over: the sum counts, not the worst, and being light does not."""
    found = choose(pool([1, 2, 3], [1.4, 1.3, 1.0], [1.4, 1.2, 1.6]), {}, {})
    assert (found.index, found.feasible) == (1, False)
    assert found.worst == "tilt"


def test_uses_below_their_limits_do_not_pay_for_others() -> None:
    found = choose(pool([1, 2], [0.1, 1.1], [1.3, 1.1]), {}, {})
    assert found.index == 1


def test_tightening_and_relaxing_act_on_their_own_use_alone() -> None:
    three = pool([1, 2, 3], [1.05, 0.95, 0.5], [0.5, 0.5, 0.9])
    assert choose(three, {}, {}).index == 1
    assert choose(three, {"tilt": 1.1}, {}).index == 2
    assert choose(three, {}, {"tilt": 1.1}).index == 0
    assert choose(three, {"strength": 1.2}, {}).index == 1


def test_blocking_names_the_worst_broken_use_or_none() -> None:
    two = pool([1, 2], [1.05, 0.9], [1.2, 0.9])
    assert blocking(two, 0, {}) == "strength"
    assert blocking(two, 1, {}) == ""
    assert blocking(two, 1, {"tilt": 1.2}) == "tilt"


def test_candidates_are_found_in_their_own_block(sized: Sized) -> None:
    """Blocks of several widths side by side: mass and uses agree with the row located."""
    found = sized.pool
    assert len(found.blocks) > 1
    for index in (0, found.blocks[0].candidates.count, len(found.frame_mass) - 1):
        block, row = found.locate(index)
        for key, use in zip(found.keys, found.uses[:, index], strict=True):
            assert use == block.uses[key][row]
    with pytest.raises(IndexError):
        found.locate(len(found.frame_mass))


def test_next_smaller_really_breaks_the_named_check(task: Task, sized: Sized) -> None:
    """Each driven dimension one step smaller, all else alike, evaluated anew on its own."""
    drivers = {driver.dimension: driver for driver in find_drivers(task, sized)}
    block, row = sized.pool.locate(sized.choice.index)
    arms = block.candidates
    checked = 0
    for name in ("side", "top", "bottom"):
        driver = drivers[NAMES[name]]
        key = key_of(driver, sized)
        if not key:
            continue
        values = np.unique(getattr(arms, name))
        here = getattr(arms, name)[row]
        assert driver.value == here
        smaller = values[values < here - 1e-9].max()
        one = {
            field: getattr(arms, field)[row : row + 1]
            for field in ("depth_root", "depth_tip", "side", "top", "bottom", "pitch", "web")
        }
        thin = replace(arms, **(one | {name: np.array([smaller])}))
        demand = _demand(task, sized)
        uses = arm_uses(task.brief, thin, task.materials["ASA"], demand).uses
        assert float(uses[key][0]) * sized.learnt.tighten.get(key, 1.0) > 1.0
        checked += 1
    assert checked


def key_of(driver: Driver, sized: Sized) -> str:
    """Key of the arm's use that a driver names in words, or ""."""
    return {title_of(key): key for key in sized.pool.keys}.get(driver.check, "")


def _demand(task: Task, sized: Sized) -> ArmDemand:
    """What the chosen arm's block was evaluated with."""
    arms = sized.pool.locate(sized.choice.index)[0].candidates
    setting = next(s for s in settings_of(task, "box") if s.body.arm_width == arms.width)
    body, leg = sized_legs(task, setting.body, "ASA")
    frame = frame_for(task, body, arms.arm(0, "ASA"), "ASA", 4e-3)
    masses = estimated_masses(task.brief, frame, task.materials, {})
    clamp = root_stiffness(frame, task.materials, task.hardware, fill_of(task.brief))
    return arm_demand(task, setting, leg, masses["mount"], clamp)


def test_saving_is_that_of_a_search_with_the_limit_relaxed(task: Task, sized: Sized) -> None:
    """Brute force over pools with uses and masses drawn at random: one use divided by 1.1."""
    saved = [_saving_by_brute_force(task, sized, seed) for seed in range(8)]
    assert max(saved) > 0.0  # something was to be had in at least one of them


def _saving_by_brute_force(task: Task, sized: Sized, seed: int) -> float:
    """Checks what one drawn pool is said to save; returns the most of it."""
    draw = np.random.default_rng(seed)
    uses = draw.uniform(0.7, 1.06, sized.pool.uses.shape)
    mass = draw.uniform(0.5, 1.5, len(sized.pool.frame_mass))
    pool = replace(sized.pool, uses=uses, frame_mass=mass)
    learnt = replace(sized.learnt, tighten={})
    found = replace(sized, pool=pool, choice=choose(pool, {}, {}), learnt=learnt)
    said = {
        key_of(d, sized): d.saved
        for d in find_drivers(task, found)
        if key_of(d, sized) and d.dimension != "plate thickness"
    }
    for key, saved in said.items():
        relaxed = uses.copy()
        relaxed[pool.keys.index(key)] /= 1.1
        fits = (relaxed <= 1.0).all(axis=0)
        assert saved == pytest.approx(mass[found.choice.index] - mass[fits].min())
    return max(said.values(), default=0.0)


def test_nothing_is_said_to_be_saved_where_relaxing_does_not_suffice(
    task: Task, sized: Sized
) -> None:
    """All far over their limits, the lightest least so, the heaviest taken: no tenth helps."""
    over = replace(sized.pool, uses=5.0 + sized.pool.frame_mass + 0.0 * sized.pool.uses)
    heaviest = Choice(int(np.argmax(over.frame_mass)), False, "motor-tilt", 6.0)
    drivers = find_drivers(task, replace(sized, pool=over, choice=heaviest))
    arm = [driver for driver in drivers if key_of(driver, sized)]
    assert len(arm) > 2
    assert all(driver.saved == 0.0 for driver in arm if driver.dimension in NAMES.values())


def test_dimensions_are_whole_lines_and_layers(task: Task, sized: Sized) -> None:
    line, layer = task.brief.printer.extrusion_width, task.brief.printer.layer
    for family in ("box", "channel", "truss"):
        body = sized.pool.blocks[0].candidates.body
        arms = printed_candidates(task.brief, family, body, 0.3, (0.05, 0.05))
        assert arms.count > 100
        for values, unit in (
            (arms.side, line), (arms.web, line), (arms.top, layer), (arms.bottom, layer),
        ):  # fmt: skip
            np.testing.assert_allclose(values / unit, np.round(values / unit), atol=1e-6)
        assert (arms.depth_tip <= arms.depth_root + 1e-12).all()
        assert (arms.top + arms.bottom < arms.depth_tip).all()


@pytest.mark.parametrize("layer", [0.2e-3, 0.28e-3, 0.3e-3, 0.36e-3])
def test_no_arm_is_deeper_than_its_bolts_are_long(task: Task, sized: Sized, layer: float) -> None:
    """With plates as they print, in whole layers, also where that is more than was asked."""
    printer = replace(task.brief.printer, layer=layer)
    brief = replace(task.brief, printer=printer)
    other = replace(task, brief=brief, lengths=lambda _size: (0.045,))
    most = longest_grip(task.hardware.screws["M3"], other.lengths)
    flange = sized.frame.leg.flange_thickness
    settings = settings_of(other, "box")[:1]
    for plate in PLATES:
        made = build_pool(other, "box", "ASA", settings, plate)
        deepest = made.blocks[0].candidates.depth_root.max()
        assert deepest + 2 * np.ceil(plate / layer - 1e-6) * layer + flange <= most + 1e-9
