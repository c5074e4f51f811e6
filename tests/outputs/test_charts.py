"""Charts: well-formed, labelled, and drawn where the numbers say."""

import re
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from refledge.model.checks import Verdict
from refledge.outputs import charts
from refledge.outputs.charts.deflection import enlargement
from refledge.outputs.charts.scale import Scale, round_step, round_up, spread_out
from refledge.outputs.drawings import drawings
from refledge.study import Study
from tests.outputs.fake_study import check

SVG = "{http://www.w3.org/2000/svg}"


def _texts(svg: str) -> list[str]:
    return [node.text or "" for node in ElementTree.fromstring(svg).iter(f"{SVG}text")]


def _of_class(svg: str, tag: str, kind: str) -> list[ElementTree.Element]:
    found = ElementTree.fromstring(svg).iter(SVG + tag)
    return [node for node in found if kind in (node.get("class") or "").split()]


def test_every_chart_is_well_formed_and_inside_its_frame(study: Study) -> None:
    for name, svg in drawings(study).items():
        root = ElementTree.fromstring(svg)
        _, _, width, height = map(float, (root.get("viewBox") or "").split())
        assert root.find(f"{SVG}title") is not None, name
        for node in root.iter(f"{SVG}text"):
            assert 0 <= float(node.get("x", "-1")) <= width, (name, node.text)
            assert 0 <= float(node.get("y", "-1")) <= height, (name, node.text)
        for node in root.iter(f"{SVG}rect"):
            right = float(node.get("x", "0")) + float(node.get("width", "0"))
            assert right <= width, (name, node.attrib)


def test_words_from_the_brief_are_escaped() -> None:
    svg = charts.margins_chart([check("x", title="<script>&", part="")])
    assert "<script" not in svg
    assert "<script>&" in _texts(svg)


def test_speed_chart_draws_both_orders_the_modes_and_the_bands(study: Study) -> None:
    svg = charts.speed_chart(study.speeds, study.airframe_modes, 0.15)
    texts = _texts(svg)
    assert {"throttle (%)", "frequency (Hz)", "hover", "once per revolution"} <= set(texts)
    assert "21.3 Hz arms in turn" in texts
    plot = [n for n in _of_class(svg, "line", "mode") if n.get("x2") == "540"]
    assert [("heavy" in (n.get("class") or "")) for n in plot] == [True, False, False]
    marks = sorted(float(c.get("cy", "0")) for c in _of_class(svg, "circle", "bar"))
    axis = Scale(0.0, 250.0, 410.0, 40.0)
    hover = 480 / (2 * np.pi)
    assert marks == pytest.approx([axis(2 * hover), axis(hover)], abs=0.01)
    once, blades = (p.get("points", "").split() for p in _of_class(svg, "polyline", "line"))
    full = 690 / (2 * np.pi)
    assert float(once[-1].split(",")[1]) == pytest.approx(axis(full), abs=0.01)
    assert float(blades[-1].split(",")[1]) == pytest.approx(axis(2 * full), abs=0.01)
    bands = _of_class(svg, "rect", "area")[:2]
    heights = [float(b.get("height", "0")) for b in bands]
    per_hz = (410 - 40) / 250
    assert heights == pytest.approx([0.3 * hover * per_hz, 0.6 * hover * per_hz], abs=0.02)


def test_modes_above_the_chart_are_counted_not_dropped(study: Study) -> None:
    modes = replace(
        study.airframe_modes,
        frequencies=np.array([21.3, 900.0]),
        labels=("low", "high"),
        felt=np.array([9.0, 9.0]),
    )
    assert "1 mode above" in _texts(charts.speed_chart(study.speeds, modes, 0.15))


def test_mass_bars_are_sorted_and_sum_to_the_whole(study: Study) -> None:
    texts = _texts(charts.mass_chart(study.masses))
    shown = [re.match(r"([\d.]+) g, ([\d.]+) %", t) for t in texts]
    grams = [float(m[1]) for m in shown if m]
    assert grams == sorted(grams, reverse=True)
    assert sum(grams) == pytest.approx(1000 * sum(m.total for m in study.masses))
    assert sum(float(m[2]) for m in shown if m) == pytest.approx(100, abs=0.7)  # two figures each


def test_failing_checks_point_left_of_the_limit(study: Study) -> None:
    svg = charts.margins_chart(study.checks)
    limit = float(_of_class(svg, "line", "mark")[0].get("x1", "0"))
    (bad,) = _of_class(svg, "rect", "bad")
    assert float(bad.get("x", "0")) + float(bad.get("width", "0")) == pytest.approx(limit)
    assert all(float(b.get("x", "0")) >= limit - 0.01 for b in _of_class(svg, "rect", "good"))
    texts = _texts(svg)
    assert texts.count("holds") == 4
    assert {"fails", "holds narrowly", "cannot say"} <= set(texts)


def test_margins_chart_keeps_the_worst_and_counts_the_rest() -> None:
    many = [check(f"k{k}", margin=0.01 * k, title=f"check {k}") for k in range(40)]
    texts = _texts(charts.margins_chart([*many, check("f", Verdict.FAILS, margin=-0.2)]))
    assert "check 0 (arm)" in texts
    assert "check 39 (arm)" not in texts
    assert "and 17 more with 23 % or more in reserve" in texts


def test_unlimited_margins_can_be_drawn() -> None:
    svg = charts.margins_chart(
        [check("a", margin=float("inf")), check("b", Verdict.UNKNOWN, margin=float("nan"))]
    )
    assert "nan" not in svg
    assert "inf" not in svg


def test_deflected_shape_is_drawn_at_the_stated_scale(study: Study) -> None:
    svg = charts.deflection_chart(study.deflected[0], "Full thrust")
    texts = _texts(svg)
    factor = float(next(m[1] for t in texts if (m := re.search(r"drawn (\S+) times", t))))
    still, moved = (_of_class(svg, "line", kind) for kind in ("ghost", "shape"))
    rise = float(still[-1].get("y2", "0")) - float(moved[-1].get("y2", "0"))
    across = float(still[-1].get("x2", "0")) - float(moved[-1].get("x2", "0"))
    root, tip = (
        np.array([float(still[-1].get(f"{axis}{end}", "0")) for axis in "xy"]) for end in "12"
    )
    # the last arm, 30 degrees left of the nose, spans 0.26 m on the ground
    azimuth, elevation = np.deg2rad(-35), np.deg2rad(24)
    angle = np.deg2rad(30) - azimuth
    span = 0.26 * np.hypot(np.sin(angle), np.cos(angle) * np.sin(elevation))
    per_metre = np.linalg.norm(tip - root) / span
    assert across == pytest.approx(0, abs=0.02)
    assert rise / per_metre == pytest.approx(factor * 0.0028 * np.cos(elevation), rel=1e-3)


def test_an_unmoved_frame_is_drawn_without_dividing_by_nought() -> None:
    assert enlargement(0.0, 0.6) == 1.0
    assert enlargement(0.003, 0.6) == 50.0


def test_alternatives_put_the_lightest_first_and_say_why_others_do_not_hold(study: Study) -> None:
    texts = _texts(charts.alternatives_chart(study.alternatives))
    assert "612 g, lightest" in texts
    assert "does not hold: Printer has no enclosure" in texts
    order = [t for t in texts if t in ("box, PETG", "truss, ASA", "channel, PETG", "box, ASA")]
    assert order == ["box, PETG", "truss, ASA", "channel, PETG", "box, ASA"]


def test_steps_are_round_and_axes_end_at_or_above() -> None:
    assert [round_step(v) for v in (0.1, 0.11, 3.0, 7.0)] == [0.1, 0.2, 5.0, 10.0]
    assert round_up(219.0) == 250.0
    assert Scale(0, 10, 0, 100).ticks(5) == [0, 2, 4, 6, 8, 10]


def test_labels_keep_apart_and_in_order() -> None:
    placed = spread_out([10.0, 11.0, 12.0, 200.0], 15.0, 0.0, 210.0)
    assert placed == sorted(placed)
    assert np.diff(placed).min() >= 15.0
    crowded = spread_out([95.0, 96.0, 97.0], 15.0, 0.0, 100.0)
    assert crowded == [70.0, 85.0, 100.0]
