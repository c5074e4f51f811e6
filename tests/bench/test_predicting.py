"""Predictions before a test and what the test says to them."""

from dataclasses import replace
from math import hypot

import numpy as np
import pytest

from refledge.bench.predicting import (
    answer_of_taps,
    answers,
    arm_piece,
    bench_span,
    off_prediction,
    on_the_bench,
    piece_name,
    predict_arm,
    tenon_saving,
    with_spread,
)
from refledge.bench.scoring import z_score
from refledge.bench.series import GRAVITY
from refledge.errors import AnalysisError
from refledge.inputs.cards import material_cards
from refledge.model.bench import ArmPiece, BenchFile, Reading, Series, Specimen, StiffBar
from refledge.model.recordings import MeasuredMode
from tests.bench.sessions import bench_file
from tests.geometry.frames import arm

CARD = material_cards()["PETG"]
SOLID = ArmPiece(
    family="tube", length=0.30, width=0.02, depth_root=0.02, depth_tip=0.02, root_length=0.05,
    tenon_length=0.02, held=0.05, bore=0.016,
)  # fmt: skip
LOAD = 0.5


def tube_tip(piece: ArmPiece, force: float) -> float:
    """Deflection of a clamped tube, m, written out anew: bending and shear at half the area."""
    second = np.pi / 64 * (piece.width**4 - piece.bore**4)
    area = np.pi / 4 * (piece.width**2 - piece.bore**2)
    span = bench_span(piece)
    bent = force * span**3 / (3 * CARD.E_xy.value * second)
    return float(bent + force * span / (CARD.G_xz.value * area / 2))


def session_of(
    piece: ArmPiece, tip: float, mass: float = 0.05, clamp: float = 0.0, stiff: bool = False
) -> BenchFile:
    """Two arms that move ``tip`` (m) under LOAD at the predicted span; perhaps a stiff bar too."""
    span = bench_span(piece)
    loads = np.array([0.0, 0.25, 0.5, 0.25, 0.0])
    series = []
    for name in ("1", "2"):
        moved = loads / LOAD * tip + clamp * span**2 * loads * GRAVITY
        rows = tuple(
            Reading(mass=float(m), read=float(r)) for m, r in zip(loads, moved, strict=True)
        )
        series.append(Series(specimen=name, span=span, readings=rows))
    bar = StiffBar(E=2e11, width=0.02, thickness=0.01)
    if stiff:
        bent = 0.2**3 / (3 * bar.E * bar.width * bar.thickness**3 / 12) + clamp * 0.2**2
        rows = tuple(
            Reading(mass=float(m), read=float(m * GRAVITY * bent)) for m in (0, 1, 2, 1, 0)
        )
        series.append(Series(bar="stiff", span=0.2, readings=rows))
    pieces = tuple(Specimen(name=n, shape="arm", mass=mass) for n in ("1", "2"))
    return bench_file(
        specimen=pieces, series=tuple(series), arm=piece, stiff=bar if stiff else None
    )


def test_the_predicted_deflection_is_that_of_the_closed_form() -> None:
    """Within 2 %: the model's root block and tenon are the same tube, its shear area is finer."""
    tip, _, _ = predict_arm("x", SOLID, CARD, LOAD, 0.05, "test")
    assert tip.value == pytest.approx(tube_tip(SOLID, LOAD * GRAVITY), rel=0.02)
    assert tip.uncertainty / tip.value == pytest.approx(hypot(CARD.E_xy.spread, 0.05))


def test_the_predicted_frequency_is_that_of_a_clamped_beam() -> None:
    """First root of cos x cosh x = -1 (Euler-Bernoulli), with the tenon's half beyond the load."""
    _, mode, _ = predict_arm("x", SOLID, CARD, LOAD, 0.05, "test")
    length = SOLID.length - SOLID.held
    second = np.pi / 64 * (SOLID.width**4 - SOLID.bore**4)
    line = CARD.rho.value * np.pi / 4 * (SOLID.width**2 - SOLID.bore**2)
    first = 1.8751**2 / (2 * np.pi) * np.sqrt(CARD.E_xy.value * second / line) / length**2
    assert mode.value == pytest.approx(first, rel=0.03)
    stiff, heavy = hypot(CARD.E_xy.spread, 0.05), hypot(CARD.rho.spread, 0.03)
    assert mode.uncertainty / mode.value == pytest.approx(hypot(stiff, heavy) / 2)


def test_a_hollow_tenon_raises_the_frequency_as_a_lighter_tip_does() -> None:
    """Against a beam whose tip is made lighter by hand: f^2 goes with one over the tip's mass.

    A heavy solid tenon on a light span stands for a mass on a spring (Rayleigh): the ratio of the
    squares is that of the swinging masses, the span's at a quarter (33/140).
    """
    designed = replace(arm_piece(arm("box")), tenon_length=0.08, length=0.35)
    rho, skin, infill = CARD.rho.value, 1.2e-3, 0.4
    w, d, run, b = designed.width, designed.depth_tip, designed.tenon_length, designed.bore
    inside = (w - 2 * skin) * (d - 2 * skin) * (run - 2 * skin)
    rough = rho * (1 - infill) * (inside - run * np.pi / 4 * (b + 2 * skin) ** 2)
    saving = tenon_saving(designed, rho, skin, infill)
    assert saving == pytest.approx(rough, rel=0.12)  # skins counted twice at the edges
    (_, solid, _), (_, hollow, _) = (
        predict_arm("x", designed, CARD, LOAD, 0.05, "test", each) for each in (0.0, saving)
    )
    tip = rho * run * (w * d - np.pi / 4 * b**2)
    ratio = (hollow.value / solid.value) ** 2
    assert tip / (tip - saving) > ratio > (tip + 0.03) / (tip + 0.03 - saving)


def test_half_of_the_stiffness_spread_goes_into_a_frequency() -> None:
    ((_, hertz, u),) = with_spread([("bending", 100.0)], CARD)
    assert (hertz, u / hertz) == (
        100.0,
        pytest.approx(hypot(CARD.E_xy.spread, 0.05, CARD.rho.spread) / 2),
    )


def test_a_test_that_shows_what_was_predicted_scores_nought() -> None:
    made = predict_arm("the arm", SOLID, CARD, LOAD, 0.05, "test")
    found = {f.name: f for f in answers(session_of(SOLID, made[0].value), made)}
    assert set(found) == {made[0].name, made[2].name}
    for prediction in (made[0], made[2]):
        each = found[prediction.name]
        assert z_score(prediction, each.value, each.uncertainty) == pytest.approx(0.0, abs=1e-6)


def test_a_softer_arm_scores_on_its_side() -> None:
    tip, *_ = predict_arm("the arm", SOLID, CARD, LOAD, 0.05, "test")
    (found, _) = answers(session_of(SOLID, 1.5 * tip.value), (tip, tip))
    assert z_score(tip, found.value, found.uncertainty) > 2.5


def test_the_stiff_bar_takes_the_clamp_out_of_the_score() -> None:
    tip, *_ = predict_arm("the arm", SOLID, CARD, LOAD, 0.05, "test")
    clamp = 0.2 * tip.value / (bench_span(SOLID) ** 2 * LOAD * GRAVITY)
    (with_it,) = answers(session_of(SOLID, tip.value, clamp=clamp), (tip,))
    (without,) = answers(session_of(SOLID, tip.value, clamp=clamp, stiff=True), (tip,))
    assert with_it.value == pytest.approx(1.2 * tip.value, rel=1e-6)
    assert without.value == pytest.approx(tip.value, rel=1e-6)


def test_a_weight_hung_elsewhere_answers_nothing() -> None:
    tip, *_ = predict_arm("the arm", SOLID, CARD, LOAD, 0.05, "test")
    file = session_of(SOLID, tip.value)
    moved = replace(file, series=tuple(replace(s, span=0.9 * s.span) for s in file.series))
    with pytest.raises(AnalysisError, match="hang the weight at the predicted place"):
        answers(moved, (tip,))


def test_the_nearest_mode_answers() -> None:
    def mode(hertz: float) -> MeasuredMode:
        return MeasuredMode(hertz, 0.1, 0.01, 0.01, 0.01, 0.0, 30.0, 1.0, "")

    _, first, _ = predict_arm("x", SOLID, CARD, LOAD, 0.05, "test")
    found = answer_of_taps([mode(0.3 * first.value), mode(1.05 * first.value)], first)
    assert found.value == pytest.approx(1.05 * first.value)
    with pytest.raises(AnalysisError, match="no mode"):
        answer_of_taps([], first)


def test_names_differ_where_anything_that_was_known_differs() -> None:
    piece = arm_piece(arm("box"))
    softer = replace(CARD, E_xy=replace(CARD.E_xy, value=0.9 * CARD.E_xy.value))
    names = {
        piece_name("short arm", p, c, "Lake: sampler")
        for p, c in ((piece, CARD), (piece, softer), (replace(piece, side=2e-3), CARD))
    }
    assert len(names) == 3
    assert all(": " not in name for name in names)


def test_a_designed_arm_on_the_bench_is_held_at_its_root_block() -> None:
    designed = arm("box")
    piece = arm_piece(designed)
    assert bench_span(piece) == pytest.approx(designed.axis - designed.root_length)
    one, two = (float(on_the_bench(piece, CARD, f).deflection_z[0]) for f in (1.0, 2.0))
    assert two == pytest.approx(2 * one)


def test_scores_far_out_are_off_and_unknown_ones_say_nothing() -> None:
    assert not off_prediction([1.0, float("nan"), -2.0])
    assert off_prediction([1.0, -3.0])
