"""What is said about results, and the files of a test piece."""

from pathlib import Path

import numpy as np
import pytest

from refledge.bench.comparing import candidate_of, rank
from refledge.bench.learning import learn
from refledge.bench.reduce import reduce_session
from refledge.bench.scoring import calibration
from refledge.bench.tap import match_modes, tap_test
from refledge.bench.vibration import vibration
from refledge.inputs.cards import material_cards
from refledge.inputs.readings import read_session
from refledge.model.learning import Evidence
from refledge.model.recordings import Recording
from refledge.outputs import bench_words as words

from .sounds import recorded, taps

EXAMPLES = Path(__file__).parents[2] / "examples" / "bench"
CARD = material_cards()["PETG"]


def test_a_reduction_is_said_with_interval_and_findings() -> None:
    found = reduce_session(read_session(EXAMPLES / "cantilever.toml"), CARD)
    text = "\n".join(words.reduction_lines(found))
    low, high = (
        words.amount(v, "Pa") for v in (found.measured[0].carlo_low, found.measured[0].carlo_high)
    )
    assert f"95 % between {low} and {high}" in text
    assert "MPa" in text
    assert all(each.words in text for each in found.findings)


@pytest.mark.parametrize("name", ["creep.csv", "density.toml", "layer-pull.toml"])
def test_every_kind_can_be_said(name: str) -> None:
    lines = list(words.reduction_lines(reduce_session(read_session(EXAMPLES / name), CARD)))
    assert len(lines) > 3


def test_taps_are_said_with_what_was_predicted() -> None:
    found = tap_test(recorded(taps([(87.0, 0.015, 0.5)])))
    matches = match_modes(found.modes, [("vertical", 80.0, 5.0), ("yaw", 200.0, 9.0)])
    text = "\n".join(words.tap_lines(found, matches))
    assert "vertical: 80.0 Hz predicted, 87.0 measured (+8.7%, z +1.4)" in text
    assert "yaw: 200.0 Hz predicted, nothing heard near it" in text


def test_vibration_ranking_learning_and_calibration_are_said() -> None:
    t = np.arange(8000) / 1000
    samples = np.sin(2 * np.pi * 140 * t)[:, None]
    log = Recording(samples, 1000.0, "m/s2", "invented", np.full(8000, np.nan))
    assert "140 Hz: 140.0 Hz, 0.71 m/s2" in "\n".join(words.vibration_lines(vibration(log)))
    places = rank({"a": (2.0, 0.01), "b": (1.0, 0.01)})
    assert (
        "1. a is better than b with over 99 % confidence"
        in list(words.ranking_lines(places, "x"))[1]
    )
    line = next(words.candidate_lines([candidate_of(CARD)]))
    assert line.startswith("  PETG: E 1900 MPa ± 9%, density 1262 kg/m³ ± 2%")
    assert "stiffness" not in line
    row = Evidence("E_xy", 2.1e9, 0.02, 0.01, "A", 2, "2026-05-30", "invented")
    text = "\n".join(words.learned_lines(learn(CARD, [row])[1]))
    assert "measured 2100 MPa" in text
    assert "modulus across the layers" in text
    assert "1 predictions scored: 100%" in next(words.calibration_lines(calibration([0.5])))
