"""The toll of crashes, against sums by hand and the beta distribution of scipy."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest
from scipy import stats

from refledge.airframe.blows.cases import CrashCase
from refledge.airframe.judge import judge
from refledge.outputs.crash_files import link_lines
from refledge.repair.breaking import Asked, Breaks
from refledge.repair.record import BuildRecord, PartRecord
from refledge.repair.sampling import Chances
from refledge.repair.survival import CRASH_PRIOR
from refledge.repair.toll import chance_scatter, tolls, tolls_of
from refledge.repair.weak_link import LinkTry, WeakLink

SAMPLES = 50


def _chances(key: str, arm: tuple[float, ...], leg_first: float) -> Chances:
    """One way to crash: chance of 0, 1, 2 arms broken; a leg goes first now and then."""
    up = np.array([0.0, 0.0, 1.0])
    case = CrashCase(key, key, "", up, velocity=-up, turn=np.zeros(3), share=0.5)
    arm_first = 1.0 - arm[0] - leg_first
    return Chances(
        case=case,
        samples=SAMPLES,
        parts=("arm 1", "arm 2", "leg 1"),
        breaks=np.array([0.2, 0.1, leg_first]),
        first=np.array([arm_first, 0.0, leg_first]),
        nothing=arm[0],
        spared=1.0,
        copies={"arm": np.array(arm), "leg": np.array([1.0 - leg_first, leg_first])},
        peak=np.zeros(3),
    )


@pytest.fixture
def found() -> Breaks:
    def part(key: str, seconds: float, cost: float) -> PartRecord:
        return PartRecord(key, key, 2, "PETG", 0.05, 0.06, seconds, cost, "r", f"{key}.3mf")

    parts = (
        part("arm_inner", 3600.0, 2.0),
        part("arm_outer", 1800.0, 1.0),
        part("leg", 600.0, 0.5),
    )
    record = BuildRecord("t", "v", 2, (1,), 60.0, parts, (), {})
    return Breaks(
        asked=Asked(samples=SAMPLES),
        parts=("arm 1", "arm 2", "leg 1"),
        blows=(),
        found=(_chances("a", (0.5, 0.3, 0.2), 0.1), _chances("b", (1.0, 0.0, 0.0), 0.0)),
        shares=(0.25, 0.75),
        link=None,
        rate=CRASH_PRIOR,
        record=record,
        stock=(),
        plates=(),
    )


def test_an_arm_in_two_pieces_costs_both(found: Breaks) -> None:
    arm = next(each for each in tolls(found) if each.kind == "arm")
    copies = 0.25 * (0.3 + 2 * 0.2)
    assert arm.keys == ("arm_inner", "arm_outer")
    assert arm.copies == pytest.approx(copies)
    assert arm.seconds == pytest.approx(copies * 5400.0)
    assert arm.cost == pytest.approx(copies * 3.0)
    assert arm.breaks == pytest.approx(0.25 * 0.5)
    assert arm.first == pytest.approx(0.25 * 0.4)


def test_scatter_of_a_mixture_adds_as_variances(found: Breaks) -> None:
    leg = next(each for each in tolls(found) if each.kind == "leg")
    one, other = (
        stats.beta(0.5 + hits, 0.5 + SAMPLES - hits).var() for hits in (0.1 * SAMPLES, 0.0)
    )
    assert leg.breaks_scatter**2 == pytest.approx(0.25**2 * one + 0.75**2 * other)


def test_what_never_broke_is_not_certain() -> None:
    assert chance_scatter(0.0, 400) == pytest.approx(stats.beta(0.5, 400.5).std())
    assert chance_scatter(0.0, 20) > chance_scatter(0.0, 2000) > 0.0
    assert chance_scatter(0.3, 400) == pytest.approx(np.sqrt(0.3 * 0.7 / 400), rel=0.01)


def test_what_goes_first_most_often_stands_first(found: Breaks) -> None:
    assert [each.kind for each in tolls_of(found, 0)] == ["arm", "leg"]
    first = sum(each.first for each in tolls(found))
    nothing = 0.25 * 0.5 + 0.75 * 1.0
    assert first + nothing == pytest.approx(1.0)


def test_the_briefs_link_is_told_with_both_margins(found: Breaks) -> None:
    """As sized, before what weaker ones would do."""
    ask = partial(judge, group="strength", part="arm", unit="1", shown="1", method="", source="")
    checks = (
        ask(key="weak-link-first", title="the weak link breaks before", demand=1.6, capacity=1.25,
            at_least=True, note="next to go: centre plates"),
        ask(key="weak-link-flight", title="the weak link bears its loads in flight", demand=0.2,
            capacity=1.0),
        ask(key="weak-link-landing", title="the weak link bears its loads in landing and handling",
            demand=1.25, capacity=1.0),
    )  # fmt: skip
    link = WeakLink("arm", (LinkTry(1.0, 0.5, 0.5, 4.0, -0.2),), 0, "")
    told = list(link_lines(replace(found, link=link, sized=checks)))
    assert told[1] == (
        "  the brief's link (arm) goes at 1.60 times the use of what is nearest, 1.25 wanted: "
        "holds (next to go: centre plates)"
    )
    assert told[2].endswith("in flight: reserve +400 %: holds")
    assert told[3].endswith("in landing and handling: reserve −20 %: fails")
