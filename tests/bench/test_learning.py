"""The update against closed forms and limits; scores of honest and dishonest predictions."""

from dataclasses import replace
from math import exp, isnan, log

import numpy as np
import pytest

from refledge.bench.learning import learn, prior_of, torsion_of, update
from refledge.bench.scoring import calibration, z_score
from refledge.errors import AnalysisError
from refledge.inputs.cards import material_cards
from refledge.model.learning import Evidence, Prediction

CARD = material_cards()["PETG"]


def seen(
    prop: str, value: float, random: float = 0.03, systematic: float = 0.0, gauges: str = "A"
) -> Evidence:
    return Evidence(prop, value, random, systematic, gauges, 3, "2026-05-30", "invented")


def test_one_reading_weighs_by_precision() -> None:
    """Conjugate normal: precisions add, the mean is weighted by them (density: a prior alone)."""
    card, (row,) = learn(CARD, [seen("rho", 1200.0, 0.01)])
    a, b = CARD.rho.spread**-2, 0.01**-2
    assert log(row.value) == pytest.approx((a * log(CARD.rho.value) + b * log(1200.0)) / (a + b))
    assert row.spread == pytest.approx((a + b) ** -0.5)
    assert card.rho.measured_here
    assert "measured here" in card.rho.source
    assert CARD.rho.source in card.rho.source


def test_the_order_of_sessions_does_not_matter() -> None:
    two = [seen("E_xy", 2.1e9, 0.02, 0.01), seen("E_xy", 1.8e9, 0.04, 0.01)]
    (one, _), (other, _) = learn(CARD, two), learn(CARD, two[::-1])
    assert one.E_xy.value == pytest.approx(other.E_xy.value, rel=1e-12)


def test_all_at_once_is_one_after_the_other_where_nothing_is_shared() -> None:
    names = ("E_xy", "E_z", "G_xz")
    first, second = seen("E_xy", 2.1e9), seen("E_z", 1.5e9, 0.05, gauges="B")
    both = update(prior_of(CARD, names), [first, second])
    steps = update(update(prior_of(CARD, names), [first]), [second])
    assert both.mean == pytest.approx(steps.mean, rel=1e-12)
    assert both.covariance == pytest.approx(steps.covariance, rel=1e-9)


def test_a_shared_gauge_is_not_averaged_away() -> None:
    """Fifty sessions with one gauge of 2 % leave 2 %; with fifty gauges they do not."""
    same = [seen("rho", 1200.0, 0.001, 0.02) for _ in range(50)]
    own = [seen("rho", 1200.0, 0.001, 0.02, gauges=str(i)) for i in range(50)]
    vague = replace(CARD, rho=replace(CARD.rho, spread=10.0))
    assert learn(vague, same)[1][0].spread == pytest.approx(0.02, rel=0.01)
    assert learn(vague, own)[1][0].spread == pytest.approx(0.02 / 50**0.5, rel=0.01)


def test_a_sure_bench_overrides_the_card_and_a_vague_one_leaves_it() -> None:
    assert learn(CARD, [seen("rho", 1100.0, 1e-5)])[0].rho.value == pytest.approx(1100.0, rel=1e-4)
    vague = learn(CARD, [seen("rho", 1100.0, 10.0)])[0].rho.value
    assert vague == pytest.approx(CARD.rho.value, rel=1e-4)


def test_E_xy_moves_what_hangs_together_with_it() -> None:
    """E_z = E_xy times a ratio: a sure E_xy moves E_z by the same factor; only E_xy is measured."""
    card, rows = learn(CARD, [seen("E_xy", 1.1 * CARD.E_xy.value, 1e-4)])
    assert card.E_z.value / CARD.E_z.value == pytest.approx(1.1, rel=1e-3)
    assert card.E_xy.measured_here
    assert not card.E_z.measured_here
    assert card.E_z.spread < CARD.E_z.spread
    assert isnan(next(r for r in rows if r.prop == "E_z").measured)


def test_bought_materials_do_not_hang_together() -> None:
    tube = material_cards()["carbon-tube-16x14"]
    card, _ = learn(tube, [seen("E_xy", 1.1 * tube.E_xy.value, 1e-4)])
    assert card.E_z == tube.E_z


def test_a_bench_far_from_the_card_is_said() -> None:
    _, rows = learn(CARD, [seen("E_xy", 1.5 * CARD.E_xy.value, 0.03)])
    assert "ask why" in rows[0].words
    assert rows[0].z > 2.5


def test_no_evidence_no_change() -> None:
    assert learn(CARD, []) == (CARD, ())
    assert learn(CARD, [seen("insert_pull_out", 500.0)]) == (CARD, ())


def test_torsion_moves_both_moduli_so_that_they_give_it() -> None:
    """A sure reading 10 % above the card; the idea's own 5 % stays."""
    said = torsion_of(CARD).said
    card, rows = learn(CARD, [seen("G_torsion", 1.1 * said, 1e-4)])
    row = next(r for r in rows if r.prop == "G_torsion")
    assert row.literature == pytest.approx(said)
    assert row.measured == pytest.approx(1.1 * said)
    assert row.measured_spread == pytest.approx(0.05, rel=1e-3)
    assert torsion_of(card).said == pytest.approx(row.value, rel=1e-3)
    a, b = row.literature_spread**-2, 0.05**-2
    assert log(row.value / said) == pytest.approx(b / (a + b) * log(1.1), rel=1e-3)
    assert card.G_xz.value > CARD.G_xz.value
    assert card.E_xy.spread < CARD.E_xy.spread
    assert not card.G_xz.measured_here


def test_torsion_of_a_bought_tube_is_not_learned() -> None:
    tube = material_cards()["carbon-tube-16x14"]
    assert learn(tube, [seen("G_torsion", 1e9)]) == (tube, ())


def test_torsion_of_equal_shear_moduli_is_that_modulus() -> None:
    G = CARD.E_xy.value / (2 * (1 + CARD.nu.value))
    found = torsion_of(replace(CARD, G_xz=replace(CARD.G_xz, value=G)))
    assert found.said == pytest.approx(G)
    assert found.in_plane == pytest.approx(0.5, abs=1e-4)


@pytest.mark.parametrize("key", ["PLA", "PETG", "PA6-GF"])
def test_torsion_speaks_of_each_modulus_by_its_slope(key: str) -> None:
    """2 % more of either modulus, and the torsion rises by its part of that."""
    card = material_cards()[key]
    found = torsion_of(card)
    assert sum(found.parts.values()) == pytest.approx(1.0)
    for name, part in found.parts.items():
        old = getattr(card, name)
        more = replace(card, **{name: replace(old, value=1.02 * old.value)})
        assert log(torsion_of(more).said / found.said) == pytest.approx(part * log(1.02), rel=0.02)


def test_a_pull_out_belongs_to_its_thread_and_stands_alone() -> None:
    """Two sessions of M3 with gauges of their own weigh by precision."""
    sessions = [
        seen("insert_pull_out M3", 500.0, 0.1, gauges="A"),
        seen("insert_pull_out M3", 600.0, 0.05, gauges="B"),
        seen("insert_pull_out M4", 900.0, 0.1),
    ]
    card, rows = learn(CARD, sessions)
    three, four = card.pull_outs
    assert (three.thread, four.thread) == ("M3", "M4")
    expected = (100 * log(500) + 400 * log(600)) / 500
    assert log(three.load.value) == pytest.approx(expected)
    assert three.load.spread == pytest.approx(500**-0.5)
    assert "measured here: 2 sessions, 6 pieces" in three.load.source
    assert replace(card, pull_outs=()) == CARD
    assert [r.prop for r in rows] == ["insert_pull_out M3", "insert_pull_out M4"]
    assert isnan(rows[0].literature)


def test_posterior_intervals_hold_truths_drawn_from_the_prior() -> None:
    """Bayes: 95 % intervals hold 95 % of truths drawn from the prior itself; 2,000, seeded."""
    rng = np.random.default_rng(8)
    held = 0
    for _ in range(2000):
        truth = CARD.rho.value * exp(CARD.rho.spread * rng.standard_normal())
        shared = 0.01 * rng.standard_normal()
        sessions = [
            seen("rho", truth * exp(shared + 0.02 * rng.standard_normal()), 0.02, 0.01)
            for _ in range(3)
        ]
        row = learn(CARD, sessions)[1][0]
        held += abs(log(truth / row.value)) < 1.959964 * row.spread
    assert 0.935 < held / 2000 < 0.965


def _z(value: float, measured: float) -> float:
    return z_score(Prediction("f", value, 3.0, "Hz", "test"), measured, 4.0)


def test_z_scores_take_both_uncertainties() -> None:
    assert _z(100.0, 110.0) == pytest.approx(2.0)
    with pytest.raises(AnalysisError, match="above zero"):
        z_score(Prediction("f", 1.0, 0.0, "Hz", ""), 1.0, 0.0)


@pytest.mark.parametrize(
    ("scale", "shift", "words"),
    [(1.0, 0.0, "honest"), (2.5, 0.0, "too small"), (0.2, 0.0, "larger than"), (0.6, 0.9, "side")],
)
def test_calibration_tells_honest_from_not(scale: float, shift: float, words: str) -> None:
    z = scale * np.random.default_rng(2).standard_normal(40) + shift
    assert words in calibration(z.tolist()).words


def test_few_scores_say_little() -> None:
    assert "too few" in calibration([3.0, 3.0]).words
    assert calibration([]).count == 0
    found = calibration([0.5, -1.5, 2.5, 0.0])
    assert (found.within_68, found.within_95) == (0.5, 0.75)
