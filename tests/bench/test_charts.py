"""Charts of the bench: what is drawn is what was read, and a page needs nothing else."""

import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.bench.drawn import drawn_creep, drawn_pieces, drawn_series
from refledge.bench.reduce import reduce_session
from refledge.bench.scoring import calibration, running
from refledge.bench.series import reduce_series
from refledge.bench.tap import match_modes, tap_test
from refledge.bench.vibration import vibration
from refledge.inputs.cards import material_cards
from refledge.inputs.readings import read_session
from refledge.model.bench import Reading
from refledge.model.learning import Prediction, Score
from refledge.model.recordings import Recording
from refledge.outputs.bench_charts import creep_chart, pieces_chart, series_chart
from refledge.outputs.bench_comparison import calibration_page
from refledge.outputs.bench_ranks import calibration_chart
from refledge.outputs.bench_recordings import tap_page, vibration_page
from refledge.outputs.bench_reduction import reduction_page
from refledge.outputs.bench_sounds import spectrum_chart
from tests.bench.sessions import bar, bench_file, series_of
from tests.bench.sounds import recorded, taps

EXAMPLES = Path(__file__).parents[2] / "examples" / "bench"
CARD = material_cards()["PETG"]
SVG = "{http://www.w3.org/2000/svg}"


def circles(chart: str, kind: str) -> int:
    return sum(each.get("class") == kind for each in ET.fromstring(chart).iter(f"{SVG}circle"))


def words(chart: str) -> str:
    return " ".join(each.text or "" for each in ET.fromstring(chart).iter(f"{SVG}text"))


def test_the_drawn_line_is_the_reduced_one() -> None:
    file = read_session(EXAMPLES / "cantilever.toml").file
    for series, drawn in zip(file.series, drawn_series(file), strict=True):
        line = reduce_series(series, "x")
        up = ~drawn.unloading
        slope = np.polyfit(drawn.load[up], drawn.fitted[up], 1)[0]
        assert slope == pytest.approx(line.compliance, rel=1e-9)
        assert np.sqrt(np.sum(drawn.residual**2) / line.dof) == pytest.approx(line.residual)


def test_every_reading_is_a_point_twice_and_outliers_are_named() -> None:
    one = series_of(0.06, 1e-3, np.random.default_rng(1), 1e-6, masses=tuple(np.linspace(0, 1, 12)))
    bad = replace(one.readings[5], read=one.readings[5].read + 1e-4)
    left = Reading(mass=0.5, read=0.02, excluded="slipped")
    readings = (*one.readings[:5], bad, *one.readings[6:], left)
    file = bench_file(specimen=(bar(),), series=(replace(one, readings=readings),))
    (drawn,) = drawn_series(file)
    chart = series_chart(drawn)
    assert circles(chart, "bad") == 2
    assert circles(chart, "bar") == 2 * 11 + 1  # with the one in the key
    assert "reading 6: outlier" in words(chart)
    assert "not counted" in words(chart)


def test_a_creep_chart_ends_where_the_law_is_no_longer_trusted() -> None:
    drawn = drawn_creep(read_session(EXAMPLES / "creep.csv").file)
    assert drawn.curve_time[-1] == pytest.approx(10 * drawn.time.max())
    at = np.interp(drawn.time, drawn.curve_time, drawn.curves[0])
    assert np.max(np.abs(at - drawn.moved)) < 5 * drawn.law.residual
    chart = creep_chart(drawn)
    assert circles(chart, "bar") == len(drawn.time)
    assert "10 h" in words(chart)


def test_pieces_stand_each_with_its_figure() -> None:
    session = read_session(EXAMPLES / "density.toml")
    drawn = drawn_pieces(session.file)
    assert drawn.values[0] == pytest.approx(9.97e-3 / (20.03e-3 * 19.98e-3 * 20.05e-3))
    chart = pieces_chart(drawn, reduce_session(session, CARD, 500).measured[0])
    assert circles(chart, "bar") == 2
    assert "piece a" in words(chart)


@pytest.mark.parametrize(
    "name", ["cantilever.toml", "creep.csv", "density.toml", "layer-pull.toml"]
)
def test_a_page_of_readings_needs_nothing_else(name: str) -> None:
    session = read_session(EXAMPLES / name)
    page = reduction_page(session, reduce_session(session, CARD, 500), "test")
    assert "<script" not in page
    assert "http" not in page.replace("http://www.w3.org/2000/svg", "")
    assert "<svg" in page
    assert "standard uncertainty" in page
    assert "What to look at" in page


def test_a_page_of_taps_numbers_its_modes() -> None:
    recording = recorded(taps([(60.0, 0.01, 1.0), (200.0, 0.012, 0.5)]))
    found = tap_test(recording)
    matches = match_modes(found.modes, [("bending", 58.0, 3.0), ("twist", 900.0, 20.0)])
    chart = spectrum_chart(found, matches)
    assert circles(chart, "bar second") == len(found.modes) + 1  # and one in the key
    assert "1: 60.0 Hz" in words(chart)
    page = tap_page(recording, found, matches, "test")
    assert "nothing near" in page
    assert "bending" in page


def test_a_page_of_a_log_draws_orders_only_with_speed() -> None:
    t = np.arange(0, 20, 1 / 400)
    speed = 20 + 1.5 * t
    x = np.sin(2 * np.pi * np.cumsum(speed) / 400)[:, None]
    known = Recording(x, 400.0, "m/s2", "invented.csv", speed)
    page = vibration_page(known, vibration(known), [("legs", 70.0), ("legs (2)", 72.0)], 2, "test")
    assert "Orders" in page
    assert "70 to 72 Hz, legs" in page
    assert "once per turn" in page
    blind = replace(known, speed=np.full(len(x), np.nan))
    assert "Orders" not in vibration_page(blind, vibration(blind), [], 2, "test")


def test_the_calibration_chart_marks_scores_that_lie_out() -> None:
    z = [0.5, -1.0, 2.5, 0.1, -3.0, 0.4]
    scores = [
        Score(Prediction(f"p{k}", 1.0, 0.1, "m", "test"), 1.0, 0.1, v, "2026-05-01", "2026-05-02")
        for k, v in enumerate(z)
    ]
    so_far = running(z)
    assert circles(calibration_chart(scores, so_far), "bad") == 2
    assert so_far.rms[-1] == pytest.approx(np.sqrt(np.mean(np.square(z))))
    page = calibration_page(scores, calibration(z), so_far, "test")
    assert "Every score" in page


def test_the_running_band_holds_honest_scores_19_times_of_20() -> None:
    """2,000 honest histories of eight scores: the last one leaves the band in one of twenty."""
    rng = np.random.default_rng(4)
    ends = [running(rng.standard_normal(8).tolist()) for _ in range(2000)]
    inside = np.mean([e.low[-1] <= e.rms[-1] <= e.high[-1] for e in ends])
    assert inside == pytest.approx(0.95, abs=0.015)  # three standard errors of 2,000
