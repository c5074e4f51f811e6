"""Verdicts: what holds, holds narrowly, fails, cannot be said."""

from dataclasses import fields
from math import inf, nan

import pytest

from refledge.airframe.judge import NARROW, judge, ratio_margin, reserve, verdict_of
from refledge.model.checks import Check, Verdict

H, N, F, U = Verdict.HOLDS, Verdict.NARROWLY, Verdict.FAILS, Verdict.UNKNOWN


@pytest.mark.parametrize(
    ("margin", "spread", "expected"),
    [
        (0.5, 0.0, H), (0.1, 0.0, H), (0.0999, 0.0, N), (0.0, 0.0, N), (-1e-9, 0.0, F),
        (0.2, 0.25, N), (0.25, 0.25, H), (-0.5, 0.9, F), (inf, 0.0, H), (nan, 0.0, U),
        (-inf, 0.0, U),
    ],
)  # fmt: skip
def test_verdicts(margin: float, spread: float, expected: Verdict) -> None:
    assert verdict_of(margin, spread) is expected


def test_plain_geometry_is_never_narrow() -> None:
    assert verdict_of(0.0, 0.0, narrow=0.0) is H
    assert verdict_of(-1e-12, 0.0, narrow=0.0) is F


@pytest.mark.parametrize(
    ("demand", "capacity", "at_least", "expected"),
    [
        (2.0, 3.0, False, 0.5), (3.0, 2.0, True, 0.5), (3.0, 2.0, False, -1 / 3),
        (2.0, 3.0, True, -1 / 3), (0.0, 3.0, False, inf), (3.0, 0.0, True, inf),
        (0.0, 0.0, False, 0.0), (0.0, 3.0, True, -1.0), (-0.02, 0.0, True, -0.02),
        (inf, 3.0, False, -1.0), (-1.0, 3.0, False, inf),
    ],
)  # fmt: skip
def test_margins(demand: float, capacity: float, at_least: bool, expected: float) -> None:
    assert ratio_margin(demand, capacity, at_least) == pytest.approx(expected)


@pytest.mark.parametrize(("demand", "capacity"), [(nan, 1.0), (1.0, nan), (inf, inf)])
def test_what_is_not_known_is_not_judged(demand: float, capacity: float) -> None:
    found = judge(
        key="k", title="t", group="fit", part="p", demand=demand, capacity=capacity, unit="1",
        shown="1", method="m", source="s",
    )  # fmt: skip
    assert found.verdict is U


def test_sizing_aims_beyond_narrow() -> None:
    """A use of exactly 1 with its reserve holds, whatever the spread."""
    for spread in (0.0, 0.05, NARROW, 0.3):
        assert verdict_of(reserve(spread), spread) is H


def test_a_check_keeps_what_it_was_given() -> None:
    given = {
        "key": "k", "title": "t", "group": "fit", "part": "p", "load_case": "l", "demand": 2.0,
        "capacity": 3.0, "at_least": False, "unit": "m", "shown": "mm", "method": "m",
        "source": "s", "spread": 0.6, "note": "n",
    }  # fmt: skip
    check = judge(**given)  # type: ignore[arg-type]
    kept = {each.name: getattr(check, each.name) for each in fields(Check)}
    assert kept == given | {"margin": 0.5, "verdict": N}


def test_a_given_margin_wins_over_the_ratio() -> None:
    """Temperatures: 350 K against 360 K is not 3 % of anything."""
    found = judge(
        key="k", title="t", group="heat", part="p", demand=350.0, capacity=360.0, unit="K",
        shown="degC", method="m", source="s", margin=0.16,
    )  # fmt: skip
    assert (found.margin, found.verdict) == (0.16, H)
