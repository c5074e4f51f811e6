"""Drawings: what they say is what the solid is, nothing overlaps, nothing leaves the frame."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refledge.geometry.antenna_holder import antenna_bore, make_antenna_holder
from refledge.geometry.kernel import (
    Solid,
    View,
    behind,
    box,
    cone,
    cut,
    cut_outlines,
    project,
    rounds,
    section,
    sinks_of,
    volume,
)
from refledge.geometry.receiver_holder import make_receiver_holder
from refledge.outputs.drawing.callouts import askew, called
from refledge.outputs.drawing.lanes import spread
from refledge.outputs.drawing.lettering import lacks, settable, width
from refledge.outputs.drawing.lines import clipped, hatching, tidy
from refledge.outputs.drawing.marks import Line, Sheet, Text
from refledge.outputs.drawing.scales import SCALES
from refledge.outputs.drawing.sheet import part_sheet, revision
from refledge.outputs.drawing.title import LEAST, fitted
from tests.geometry.frames import HARDWARE
from tests.geometry.holders import held_frame
from tests.outputs.drawing_parts import bracket, leaving, overlaps, pipe, post, spec_of

SVG = "{http://www.w3.org/2000/svg}"


def sheet_of(solid: Solid, project_title: str = "test", note: str = "flat; no support") -> Sheet:
    spec, mesh = spec_of(solid, note=note)
    return part_sheet(spec, solid, mesh, "PETG", project_title, (1, 1), "0.1.0")


def words(sheet: Sheet) -> list[str]:
    return [text.words for text in sheet.texts]


def lengths(view: View) -> tuple[float, float]:
    """Visible and hidden, m."""
    visible, hidden = (
        sum(float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum()) for line in lines)
        for lines in (view.visible, view.hidden)
    )
    return visible, hidden


def test_a_box_from_the_front_is_its_four_edges() -> None:
    view = tidy(project(box((0, 0, 0), (0.05, 0.03, 0.02)), (0, -1, 0), (1, 0, 0)))
    visible, hidden = lengths(view)
    assert visible == pytest.approx(2 * (0.05 + 0.02), abs=1e-9)
    assert hidden == 0


def test_a_bore_seen_from_the_side_is_hidden() -> None:
    block = cut(box((0, 0, 0), (0.05, 0.03, 0.02)), cone((0.02, 0.015, -0.01), 0.01, 0.01, 0.05))
    visible, hidden = lengths(tidy(project(block, (0, -1, 0), (1, 0, 0))))
    assert visible == pytest.approx(0.14, abs=1e-9)
    assert hidden == pytest.approx(2 * 0.02, abs=1e-7)  # the two sides of the bore


def test_the_paper_is_not_mirrored() -> None:
    """A pin at the right front corner stands right and up from above, left from the left."""
    block = box((0, 0, 0), (0.04, 0.04, 0.01))
    pin = cone((0.03, 0.01, 0.0), 0.004, 0.004, 0.03)
    top = project(pin, (0, 0, 1), (1, 0, 0))
    left = project(pin, (-1, 0, 0), (0, -1, 0))
    assert np.concatenate(top.visible).mean(axis=0) == pytest.approx([0.03, 0.01], abs=1e-3)
    assert np.concatenate(left.visible)[:, 0].mean() == pytest.approx(-0.01, abs=1e-3)
    assert volume(block) == pytest.approx(1.6e-5)


def test_a_section_has_the_area_of_the_cut() -> None:
    """Outlines by the shoelace formula against the kernel's own area."""
    loops = cut_outlines(pipe(), (0.06, 0, 0), (-1, 0, 0), (0, -1, 0))
    areas = sorted(
        abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2 for x, y in (a.T for a in loops)
    )
    assert areas[1] - areas[0] == pytest.approx(
        section(pipe(), (0.06, 0, 0), (1, 0, 0)).size, rel=1e-9
    )


def test_behind_keeps_the_far_half() -> None:
    half = behind(box((0, -0.01, 0), (0.05, 0.03, 0.02)), (0, 0.01, 0), (0, -1, 0))
    assert volume(half) == pytest.approx(0.05 * 0.02 * 0.02)


def test_round_faces_are_found_with_size_and_side() -> None:
    found = {(round(2e3 * r.radius, 3), r.hollow) for r in rounds(bracket()) if r.turn > 0.99}
    assert found == {(5.0, True), (10.0, True), (3.0, True)}
    assert {(round(2e3 * r.radius, 3), r.hollow) for r in rounds(post())} == {
        (40.0, False),
        (10.0, False),
    }
    (sink,) = sinks_of(bracket())
    assert sink.angle == pytest.approx(np.pi / 2)
    assert sink.axis[2] == pytest.approx(-1.0)


def test_holes_are_called_by_diameter_count_and_depth() -> None:
    said = {each.words for each in called(bracket())}
    assert {"2× Ø5 through", "Ø10 × 3 deep"} <= said
    assert any("sunk 90°" in each for each in said)


def test_the_bracket_carries_its_dimensions() -> None:
    """Positions from the datum (x from the left face, y from the middle), sizes, thickness."""
    said = words(sheet_of(bracket()))
    for wanted in ("60", "40", "8", "10", "50", "30", "-10", "5", "20", "-20"):
        assert wanted in said, wanted
    assert {"A–A", "from above", "1 of 1, A4"} <= set(said)


def test_walls_of_a_hollow_part_are_dimensioned_in_its_cross_section() -> None:
    sheet = sheet_of(pipe())
    assert any(w.startswith("B–B") for w in words(sheet))
    assert {"2", "28", "18"} <= set(words(sheet))
    assert any(mark.kind == "hatch" for mark in sheet.marks if isinstance(mark, Line))


@pytest.mark.parametrize("make", [bracket, pipe, post])
def test_texts_keep_apart_and_inside(make) -> None:  # type: ignore[no-untyped-def]
    sheet = sheet_of(make(), "A name so long that it cannot fit into its field " * 3, "word " * 90)
    assert overlaps(sheet) == []
    assert leaving(sheet) == []


@settings(deadline=None, max_examples=25)
@given(
    st.lists(st.tuples(st.floats(0.005, 0.095), st.floats(-0.03, 0.03)), min_size=1, max_size=25),
    st.floats(0.06, 0.7),
)
def test_any_plate_with_holes_keeps_its_texts_apart(
    holes: list[tuple[float, float]], long: float
) -> None:
    """Whatever the holes and the size: crowded lanes drop what has no room, and say so."""
    plate = box((0, -0.035, 0), (long, 0.035, 0.004))
    drills = [cone((x * long * 10, y, -0.001), 0.003, 0.003, 0.006) for x, y in holes]
    sheet = sheet_of(cut(plate, *drills))
    assert overlaps(sheet) == []
    assert leaving(sheet) == []


def test_the_scale_is_preferred_and_true() -> None:
    """The outline's width on paper over the part's is the scale in the title block."""
    for size in (0.01, 0.05, 0.2, 0.9, 3.0):
        sheet = sheet_of(box((0, 0, 0), (size, size / 2, size / 5)))
        said = words(sheet)
        told = said[said.index("scale") + 1]
        over, under = (float(part) for part in told.split(":"))
        assert over / under in SCALES
        outline = [m.points for m in sheet.marks if isinstance(m, Line) and m.kind == "outline"]
        wide = max(float(np.ptp(points[:, 0])) for points in outline)
        assert wide == pytest.approx(1e3 * size * over / under, rel=1e-6)


def test_the_revision_follows_the_shape() -> None:
    one, same, other = (spec_of(s)[1] for s in (bracket(), bracket(), post()))
    assert revision(one) == revision(same) != revision(other)


@given(st.lists(st.floats(0, 100), min_size=1, max_size=30), st.floats(0.5, 6))
def test_spread_keeps_order_and_room(wanted: list[float], room: float) -> None:
    places = spread(sorted(wanted), [room] * len(wanted))
    assert all(b - a >= room - 1e-9 for a, b in pairwise(places))
    assert float(np.mean(places)) == pytest.approx(float(np.mean(wanted)))


def test_spread_leaves_what_has_room_where_it_is() -> None:
    assert spread([0.0, 10.0, 11.0, 30.0], [4.0] * 4) == pytest.approx([0.0, 8.5, 12.5, 30.0])


def test_hatching_fills_the_plastic_only() -> None:
    """Length of hatching times its pitch is the area, but for the rim."""
    outer = np.array([[0, 0], [40, 0], [40, 30], [0, 30]], dtype=float)
    hole = np.array([[10, 10], [30, 10], [30, 20], [10, 20]], dtype=float)
    lines = hatching([outer, hole], 0.1)
    total = sum(float(np.linalg.norm(b - a)) for a, b in lines)
    assert 0.1 * total == pytest.approx(40 * 30 - 20 * 10, rel=2e-3)


def test_clipping_keeps_what_is_inside() -> None:
    line = np.array([[-1.0, 0.5], [2.0, 0.5], [2.0, 2.0], [0.5, 2.0], [0.5, 0.0]])
    pieces = clipped(line, np.zeros(2), np.ones(2))
    long = [np.linalg.norm(np.diff(p, axis=0), axis=1).sum() for p in pieces]
    assert long == pytest.approx([1.0, 1.0])


def test_a_long_name_is_set_smaller_before_it_is_cut() -> None:
    name = "parts/antenna_holder.3mf"
    words, height = fitted(name, 36.0, 2.3)
    assert words == name
    assert LEAST <= height < 2.3
    assert width(words, height) <= 36.0 + 1e-9
    assert fitted("arm.3mf", 36.0, 2.3) == ("arm.3mf", 2.3)
    cut, least = fitted(3 * name, 36.0, 2.3)
    assert cut.endswith("…")
    assert least == LEAST


def test_holes_askew_are_told_in_words() -> None:
    """Two antennas' tubes at 45 degrees; a part with upright holes alone has none."""
    one = held_frame()
    (said,) = askew(make_antenna_holder(one, HARDWARE))
    bore = 1e3 * antenna_bore(one)
    assert said == f"2× Ø{bore:g} through, 45° off the part's z"
    assert askew(make_receiver_holder(one, HARDWARE)) == ()


def test_letters_that_the_font_lacks_are_marked() -> None:
    assert lacks("湖")
    assert settable("湖 Ø5 ±") == "? Ø5 ±"
    assert width("mm", 2.5) > width("m", 2.5) > 0


def test_a_text_turned_upright_has_an_upright_box() -> None:
    flat, upright = Text(10, 10, "123.45"), Text(10, 10, "123.45", turn=90)
    a, b = flat.box, upright.box
    assert b[3] - b[1] == pytest.approx(a[2] - a[0])
    assert b[2] - b[0] == pytest.approx(a[3] - a[1])
