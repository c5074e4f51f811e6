"""Up to which speed a link spares the plates: the march itself says so, speed by speed."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.blows.cases import CrashCase
from refledge.outputs.crash_files import sparing_lines
from refledge.repair.marching import Model, follow
from refledge.repair.sampling import DURATION
from refledge.repair.sparing import (
    SPEEDS,
    Sparing,
    energy_left,
    landed_on,
    nominal,
    spared,
    sparing,
)
from refledge.repair.weak_link import WeakLink

STEP = float(SPEEDS[1] - SPEEDS[0])


@pytest.fixture(scope="module")
def told(model: Model, cases: dict[str, CrashCase]) -> Sparing:
    return sparing(model, [cases["cartwheel"]], "arm", 0.5)[0]


def plates_break(model: Model, case: CrashCase, speed: float, arm: float) -> bool:
    one = follow(model, nominal(model, case, np.array([speed]), {"arm": arm}), DURATION)
    return bool(one.broken[0, model.parts.index("plates")])


def test_the_plates_stay_whole_up_to_that_speed_and_no_further(
    model: Model, cases: dict[str, CrashCase], told: Sparing
) -> None:
    case = cases["cartwheel"]
    assert 0.0 < told.without < told.speed < SPEEDS[-1]
    assert not plates_break(model, case, told.speed, 0.5)
    assert plates_break(model, case, told.speed + STEP, 0.5)
    assert not plates_break(model, case, told.without, 1e9)
    assert plates_break(model, case, told.without + STEP, 1e9)


def test_weaker_plates_are_spared_to_lower_speeds(
    model: Model, cases: dict[str, CrashCase], told: Sparing
) -> None:
    both = nominal(model, cases["cartwheel"], SPEEDS, {"arm": 0.5, "plates": 0.5})
    assert spared(follow(model, both, DURATION)) < told.speed


def test_all_the_energy_is_there_at_the_first_touch_and_less_after_it(
    model: Model, cases: dict[str, CrashCase]
) -> None:
    """1/2 m v^2 whole at the start; then ground and damping take of it, a broken arm its own."""
    crashes = nominal(model, cases["arm-tip"], np.array([3.0]), {})
    start, later = (follow(model, crashes, t, breaks=0) for t in (1e-9, 20e-3))
    assert energy_left(model, crashes, start, 0) == pytest.approx(1.0, abs=1e-3)
    assert 0.05 < energy_left(model, crashes, later, 0) < 0.95


def test_what_is_in_the_ground_is_named(model: Model, cases: dict[str, CrashCase]) -> None:
    """Flat on its legs it is all legs; nothing is in the ground before it touches."""
    crashes = nominal(model, cases["flat-drop"], np.array([1.0]), {})
    landed = follow(model, crashes, 3e-3, breaks=0)
    legs = tuple(f"leg {n + 1}" for n in range(len(model.structure.feet)))
    assert landed_on(model, crashes, landed, 0) == legs
    lifted = replace(crashes, velocity=-crashes.velocity)
    assert landed_on(model, crashes, follow(model, lifted, 3e-3, breaks=0), 0) == ()


def test_words_for_what_it_spares(told: Sparing) -> None:
    edge = replace(told, title="on edge", speed=5.5, without=3.75, link_first=True,
                   landed_on=("leg 2",), left=0.757)  # fmt: skip
    tip = replace(edge, title="on a tip", speed=float(SPEEDS[-1]), without=8.0, landed_on=())
    never = replace(edge, title="flat", speed=0.0, without=0.0, link_first=False)
    link = WeakLink("arm", (), 0, "", (edge, tip, never))
    _, first, second, third, last = sparing_lines(link)
    assert first == (
        "  on edge: up to 5.50 m/s (up to 3.75 m/s); then it lands, the link gone, on leg 2 with "
        "76% of its energy"
    )
    assert second == "  on a tip: beyond 8.0 m/s (beyond 8.0 m/s)"
    assert third.startswith("  flat: at no speed tried (at no speed tried); then it lands on leg 2")
    assert last == "  so the link spares them by going on edge"
    assert list(sparing_lines(replace(link, sparing=()))) == []
