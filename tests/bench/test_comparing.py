"""Ranking with confidence, against closed forms and facts of the trade.

The facts of the trade are common practice, no source: one arm shape printed in several plastics
and loaded with 1.5 kg at its tip moves about 17 mm in PLA, 20 in PETG, 17 in ABS, 10 in
glass-filled nylon; a moulded glass-nylon arm about 9, a carbon tube about 4; arms weigh 36 g in ABS
and 38 g in glass-filled nylon; a lattice joined along the whole underside took the PLA arm from 17
to 11 mm, a short one helped less, and thinning the plate while adding thick sides did not help.
"""

from math import hypot, log

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.stats import norm

from refledge.analysis.sections import Layered, channel, rectangle, truss
from refledge.bench.comparing import (
    INDICES,
    candidate_of,
    confidence,
    merit,
    rank,
    rank_materials,
    rank_variants,
    stiffness_from_deflection,
)
from refledge.bench.series import GRAVITY
from refledge.bench.variants import Stretch, plastic_volume, tip_compliance, variants
from refledge.errors import AnalysisError
from refledge.inputs.cards import material_cards

CARDS = material_cards()
LOAD = 1.5 * GRAVITY
READ = 0.5e-3 / 3**0.5 + 0.5e-3
"""m; "about" so many millimetres: rounding, and half a millimetre of reading and hanging."""
TIPS = {"PLA": 17e-3, "PETG": 20e-3, "ABS": 17e-3, "PA6-GF": 10e-3}
CONTROLS = {"moulded": 9e-3, "carbon tube": 4e-3}


def test_confidence_of_a_known_case() -> None:
    """One standard deviation of the difference apart: 84.13 %."""
    assert confidence((np.exp(0.05), 0.03), (1.0, 0.04)) == pytest.approx(0.841345, abs=1e-6)
    assert confidence((1.0, 0.1), (1.0, 0.1)) == 0.5
    assert confidence((2.0, 0.0), (1.0, 0.0)) == 1.0


def test_rank_is_in_words_and_chances_add_up() -> None:
    places = rank({"a": (1.0, 0.05), "b": (1.05, 0.05), "c": (0.5, 0.05)})
    assert [p.name for p in places] == ["b", "a", "c"]
    assert places[0].words == "b is better than a with 75 % confidence"
    assert places[1].words == "a is better than c with over 99 % confidence"
    assert sum(p.best for p in places) == pytest.approx(1.0)
    assert places[0].best == pytest.approx(0.755, abs=0.02)
    with pytest.raises(AnalysisError):
        rank({"a": (0.0, 0.1)})


def measured() -> dict[str, tuple[float, float]]:
    return {
        name: stiffness_from_deflection(LOAD, tip, READ) for name, tip in (TIPS | CONTROLS).items()
    }


def test_the_readings_rank_the_arms_with_the_right_confidence() -> None:
    """Sure where millimetres differ by many readings' worth; level where they are the same."""
    places = {p.name: p for p in rank(measured())}
    assert list(places)[:3] == ["carbon tube", "moulded", "PA6-GF"]
    assert set(list(places)[3:5]) == {"PLA", "ABS"}
    assert list(places)[5] == "PETG"
    assert places["carbon tube"].over_next > 0.99
    assert 0.7 < places["moulded"].over_next < 0.9
    assert places["PA6-GF"].over_next > 0.99
    k = measured()
    assert confidence(k["PLA"], k["ABS"]) == 0.5
    apart = log(20 / 17) / hypot(READ / 20e-3, READ / 17e-3)
    assert confidence(k["ABS"], k["PETG"]) == pytest.approx(norm.cdf(apart), rel=1e-9)
    assert 0.99 < norm.cdf(apart) < 0.999


def _odds(name: str, creep: bool) -> float:
    """(log measured ratio to PLA - log of the cards' ratio) over all spreads."""
    card, base = CARDS[name], CARDS["PLA"]
    expected = log(card.E_xy.value / base.E_xy.value)
    spreads = [card.E_xy.spread, base.E_xy.spread]
    if creep:
        expected += log(card.creep_factor.value / base.creep_factor.value)
        spreads += [card.creep_factor.spread, base.creep_factor.spread]
    k = measured()
    spreads += [k[name][1], k["PLA"][1]]
    return float((log(k[name][0] / k["PLA"][0]) - expected) / hypot(*spreads))


@pytest.mark.parametrize("name", ["PETG", "ABS", "PA6-GF"])
def test_cards_do_not_contradict_the_readings_beyond_their_spread(name: str) -> None:
    """Within two standard deviations, once creep is counted: a hung weight is read after minutes,
    and of these PLA sags most in that time but for the nylon."""
    assert abs(_odds(name, creep=True)) < 2.0


def test_short_time_moduli_alone_would_contradict_ABS() -> None:
    """ABS as stiff as PLA: 2.7 standard deviations off by short-time moduli. Explained by creep
    (above); what is left, all three plastics stiffer against PLA than the cards say, speaks of a
    soft PLA in that test."""
    assert _odds("ABS", creep=False) > 2.5
    assert all(_odds(name, creep=True) > 0 for name in ("PETG", "ABS", "PA6-GF"))


def test_masses_of_the_arms_follow_the_cards_densities() -> None:
    """38 g over 36 g, each weighed to half a gram."""
    expected = CARDS["PA6-GF"].rho.value / CARDS["ABS"].rho.value
    spread = hypot(CARDS["PA6-GF"].rho.spread, CARDS["ABS"].rho.spread, 0.5 / 36, 0.5 / 38)
    assert abs(log(38 / 36 / expected)) < spread


def _arm_of_the_trade() -> tuple[dict[str, list[Stretch]], float, float]:
    """A plate with the mass and stiffness of the arm (assumed: 200 mm free, 20 mm held), and the
    changes made to it; the lattice 5 mm high of 1.6 mm diagonals and 2 by 2 mm chords."""
    pla = CARDS["PLA"]
    E, ratio = pla.E_xy.value * pla.creep_factor.value, pla.E_xy.value / pla.G_xz.value
    free, area = 0.2, 36e-3 / CARDS["ABS"].rho.value / 0.22

    def off(depth: float) -> float:
        plate = [Stretch(free, rectangle(area / depth, depth))]
        return LOAD * tip_compliance(plate, E, E / ratio) - TIPS["PLA"]

    h = brentq(off, 3e-3, 30e-3)
    w = area / h
    plain = rectangle(w, h)
    lattice = truss(w, h + 5e-3, 2e-3, h, 2e-3, 1.6e-3, 10e-3, Layered(ratio, 1.0, 0.35))
    wide, thin = 1.3 * w, 0.5 * h
    side = (area - wide * thin) / (2 * (h - thin))
    arms = {
        "plain": [Stretch(free, plain)],
        "whole lattice": [Stretch(free, lattice)],
        "short lattice": [
            Stretch(0.3 * free, plain), Stretch(0.4 * free, lattice), Stretch(0.3 * free, plain),
        ],
        "half lattice": [Stretch(free / 2, lattice), Stretch(free / 2, plain)],
        "thin plate, thick sides": [Stretch(free, channel(wide, h, side, thin, 1e-9, 0.02))],
    }  # fmt: skip
    return arms, E, ratio


def test_the_model_repeats_what_changes_did_to_the_arm() -> None:
    """Order, and rough size: 17 to about 11 mm (9.5 to 12.5) for the whole lattice."""
    arms, E, ratio = _arm_of_the_trade()
    tip = {name: LOAD * tip_compliance(arm, E, E / ratio) for name, arm in arms.items()}
    assert tip["plain"] == pytest.approx(17e-3, rel=1e-6)
    assert 9.5e-3 < tip["whole lattice"] < 12.5e-3
    assert tip["whole lattice"] < tip["half lattice"] < tip["short lattice"] < tip["plain"]
    assert tip["thin plate, thick sides"] >= tip["plain"]
    plain, thin = (plastic_volume(arms[n]) for n in ("plain", "thin plate, thick sides"))
    assert thin == pytest.approx(plain, rel=1e-6)


def test_variants_are_ranked_by_stiffness_for_mass() -> None:
    arms, E, ratio = _arm_of_the_trade()
    rho = (CARDS["PLA"].rho.value, CARDS["PLA"].rho.spread)
    places = rank_variants(variants(arms, (E, 0.1), ratio, rho, 0.05))
    assert [p.name for p in places][:2] == ["whole lattice", "half lattice"]
    assert places[-1].name == "thin plate, thick sides"


def test_a_stretch_cut_in_two_is_the_same_arm() -> None:
    section = rectangle(0.02, 0.01)
    whole = tip_compliance([Stretch(0.2, section)], 2e9, 7e8)
    parts = tip_compliance([Stretch(0.05, section), Stretch(0.15, section)], 2e9, 7e8)
    assert parts == pytest.approx(whole, rel=1e-12)


def test_merit_indices_by_their_formulas() -> None:
    petg = candidate_of(CARDS["PETG"])
    E, rho = CARDS["PETG"].E_xy.value, CARDS["PETG"].rho.value
    assert merit(petg, INDICES["tie"])[0] == pytest.approx(E / rho)
    assert merit(petg, INDICES["beam"])[0] == pytest.approx(E**0.5 / rho)
    value, spread = merit(petg, INDICES["panel"])
    assert value == pytest.approx(E ** (1 / 3) / rho)
    assert spread == pytest.approx(hypot(CARDS["PETG"].E_xy.spread / 3, CARDS["PETG"].rho.spread))
    assert all(index.applies for index in INDICES.values())


def test_a_panel_forgives_a_soft_light_plastic_and_a_tie_does_not() -> None:
    """Ashby: the lower the power of E, the more density counts."""
    two = [candidate_of(CARDS["PLA"]), candidate_of(CARDS["ABS"])]
    tie, panel = (rank_materials(two, INDICES[k]) for k in ("tie", "panel"))
    gap = {k: p[0].over_next for k, p in (("tie", tie), ("panel", panel))}
    assert tie[0].name == "PLA"
    assert gap["tie"] > gap["panel"]
