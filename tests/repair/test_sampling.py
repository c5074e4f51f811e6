"""Chances against a closed form of two parts; the link; determinism."""

import re
from math import degrees

import numpy as np
import pytest
from scipy import stats

from refledge.airframe.blows.cases import CrashCase
from refledge.airframe.blows.places import material_of
from refledge.airframe.necked import necked, stiffness_of
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.airframe.weak_links import link_margins
from refledge.repair.marching import Model, Outcome
from refledge.repair.sampling import COPY_SPREAD, chances, draw, summed
from refledge.repair.weak_link import neck_words, size_words, weak_link


def test_two_parts_break_as_the_closed_form_says(cases: dict[str, CrashCase]) -> None:
    """Load L and two strengths lognormal and independent: P(first is 1, and it breaks).

    ln R1, ln R2 normal about m1, m2 with spread s each, ln L about 0 with spread t: part 1 breaks
    with chance Phi(-m1 / sqrt(s^2 + t^2)), and first where R1 < R2 too, a plane integral. Four
    standard errors of 40,000 draws.
    """
    random = np.random.default_rng(5)
    n, m1, m2, s, t = 40_000, 0.1, 0.3, 0.2, 0.35
    load = np.exp(t * random.standard_normal(n))
    strength = np.exp(np.array([m1, m2]) + s * random.standard_normal((n, 2)))
    use = load[:, None] / strength
    broken = use > 1
    first = np.where(broken.any(axis=1), use.argmax(axis=1), -1)
    found = summed(
        cases["arm-tip"], [Outcome(("arm 1", "leg 1"), broken, first, np.zeros(n), use, {})]
    )
    exact = stats.norm.cdf(-np.array([m1, m2]) / np.hypot(s, t))
    assert found.breaks == pytest.approx(exact, abs=4 * 0.5 / np.sqrt(n))
    # first: part 1 the weaker and broken; by quadrature over the load
    loads = np.linspace(-6 * t, 6 * t, 4001)
    z = stats.norm.pdf(loads / t) / t
    inner = np.array([stats.norm.expect(lambda r: stats.norm.sf((r - m2) / s), loc=m1, scale=s,
                                        lb=-9, ub=x) for x in loads[::40]])  # fmt: skip
    weaker = float(np.trapezoid(z[::40] * inner, loads[::40]))
    assert found.first_of("arm") == pytest.approx(weaker, abs=4 * 0.5 / np.sqrt(n))
    assert found.copies["arm"] == pytest.approx([1 - exact[0], exact[0]], abs=0.01)


def test_draws_scatter_as_the_materials_say(
    model: Model, task: Task, sized: Sized, cases: dict[str, CrashCase]
) -> None:
    drawn = draw(model, task, sized.frame, cases["one-leg"], 4000, np.random.default_rng(2))
    arm = [k for k, part in enumerate(model.parts) if part.startswith("arm")]
    spread, _ = material_of(task, sized.frame, "arm 1")
    logs = np.log(drawn.plane[:, arm])
    assert logs.std() == pytest.approx(np.hypot(spread, COPY_SPREAD), rel=0.05)
    shared = spread**2 / (spread**2 + COPY_SPREAD**2)
    assert np.corrcoef(logs[:, 0], logs[:, 1])[0, 1] == pytest.approx(shared, abs=0.05)
    assert np.linalg.norm(drawn.up, axis=1) == pytest.approx(1.0)


def test_the_same_seed_gives_the_same_crashes_and_harder_ones_break_more(
    model: Model, task: Task, sized: Sized, cases: dict[str, CrashCase]
) -> None:
    def of(speed: float, seed: int = 1) -> float:
        found = chances(model, task, sized.frame, cases["cartwheel"], 40, seed=seed, speed=speed)
        return found.nothing

    assert of(2.0) == of(2.0)
    assert of(0.3) > 0.9 > of(4.0)


def test_a_weaker_link_goes_first_more_often_and_its_margins_shrink(
    model: Model, task: Task, sized: Sized, cases: dict[str, CrashCase]
) -> None:
    link = weak_link(
        "arm", model, task, sized.frame, sized.assessment, (cases["cartwheel"],), 20,
        steps=(1.0, 0.5, 0.3),
    )  # fmt: skip
    firsts = [each.link_first for each in link.tries]
    assert firsts[-1] > firsts[0]
    assert link.tries[-1].spared >= link.tries[0].spared
    flight, landing = link_margins(task, sized.frame, sized.assessment, "arm")
    assert link.tries[1].flight_margin == pytest.approx(0.5 * (1 + flight) - 1)
    assert "weaker" in size_words("arm", sized.frame, sized.assessment, 1.0)
    assert "instead of" in size_words("arm", sized.frame, sized.assessment, 0.9)
    assert link.best.flies == (min(link.best.flight_margin, link.best.landing_margin) >= 0)
    assert landing > -1


def test_a_necked_arm_is_marched_as_drawn_and_its_softness_told(
    task: Task, sized: Sized, cases: dict[str, CrashCase]
) -> None:
    said = neck_words(task, sized.frame, sized.layout, sized.assessment, (cases["cartwheel"],), 8,
                      0.7, 1)  # fmt: skip
    first, before = (float(each) for each in re.findall(r"([\d.]+) Hz", said))
    tilt, straight = (float(each) for each in re.findall(r"([\d.]+)°", said))
    assert first < before == pytest.approx(sized.assessment.modes.frequencies[0], abs=0.06)
    thin = necked(task, sized.frame, sized.layout, sized.assessment, 0.7)
    assert thin.tilt > stiffness_of(sized.assessment)[1]
    assert (tilt, straight) == pytest.approx(
        (degrees(thin.tilt), degrees(stiffness_of(sized.assessment)[1])), abs=0.0051
    )
    assert re.search(r"spares the dear parts in \d+% of crashes", said)
