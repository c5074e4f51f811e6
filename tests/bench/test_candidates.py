"""What is compared, and that what is common to all does not blur an order."""

from dataclasses import replace

import pytest

from refledge.bench.candidates import (
    arm_of_build,
    arm_of_session,
    is_arm,
    levelled,
    plastic_of_session,
)
from refledge.bench.comparing import rank_variants
from refledge.bench.predicting import arm_piece, on_the_bench
from refledge.bench.reduce import reduce_session
from refledge.bench.series import GRAVITY
from refledge.errors import AnalysisError
from refledge.inputs.cards import material_cards
from refledge.model.bench import Specimen
from tests.bench.sessions import bar, bench_file, cantilever, series_of, session
from tests.geometry.frames import arm

CARD = material_cards()["PETG"]
RATIO = CARD.E_xy.value / CARD.G_xz.value


def test_a_part_of_unknown_section_is_compared_by_what_it_showed() -> None:
    """17 mm under 1.5 kg is 865 N/m."""
    give = 17e-3 / (1.5 * GRAVITY)
    loads = (0.0, 0.5, 1.0, 1.5, 1.0, 0.5, 0.0)
    file = bench_file(
        title="arm in PLA",
        specimen=(Specimen(name="1", shape="other", mass=0.036),),
        series=(series_of(0.2, give, masses=loads),),
    )
    assert is_arm(file)
    found = arm_of_session(file, CARD)
    assert found.measured_stiffness is not None
    assert found.measured_stiffness[0] == pytest.approx(1 / give)
    assert found.mass == (0.036, file.gauges.load)
    assert found.predicted_stiffness is None
    light = replace(file, specimen=(Specimen(name="1", shape="other"),))
    with pytest.raises(AnalysisError, match="weigh the pieces"):
        arm_of_session(light, CARD)


def test_a_designed_arm_is_compared_by_its_beam_model() -> None:
    designed = arm("box")
    found = arm_of_build("mine", designed, CARD, 0.04)
    give = float(on_the_bench(arm_piece(designed), CARD).deflection_z[0])
    assert found.predicted_stiffness is not None
    assert found.predicted_stiffness[0] == pytest.approx(1 / give)
    assert found.name == "mine: box arm, PETG"


def test_one_plastic_for_all_does_not_blur_their_order() -> None:
    """Its spread is common; in two plastics it counts."""
    thick = replace(arm("box"), side=1.15 * arm("box").side)
    arms = [arm_of_build(n, a, CARD, 0.04) for n, a in (("a", arm("box")), ("b", thick))]
    alike = levelled([("PETG", each) for each in arms])
    apart = levelled([("PETG", arms[0]), ("ABS", arms[1])])
    assert rank_variants(alike)[0].over_next > rank_variants(apart)[0].over_next
    assert apart == tuple(arms)


def test_readings_of_bars_are_compared_as_plastic() -> None:
    series = tuple(
        series_of(s, cantilever(s, 2.2e9, 0.01, 0.004, RATIO) + 0.05 * s**2) for s in (0.06, 0.12)
    )
    file = bench_file(specimen=(bar(),), series=series)
    assert not is_arm(file)
    found = plastic_of_session(reduce_session(session(file), CARD, 500), CARD)
    assert found.E[0] == pytest.approx(2.2e9, rel=1e-3)
    assert found.rho == (CARD.rho.value, CARD.rho.spread)
    pieces = (Specimen(name="1", width=6e-3, thickness=6e-3, break_load=700.0),)
    pull = bench_file(kind="layer-pull", specimen=pieces)
    with pytest.raises(AnalysisError, match="no modulus"):
        plastic_of_session(reduce_session(session(pull), CARD, 500), CARD)
