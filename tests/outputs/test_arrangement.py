"""The general arrangement: what it shows, numbers and measures."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.geometry.kernel import box, project_together, tessellate
from refledge.model.results import MassLine, Placement
from refledge.outputs.drawing.arrangement import arrangement_sheet
from refledge.outputs.drawing.balloons import column
from refledge.outputs.drawing.listing import listed, numbers
from refledge.outputs.drawing.marks import Area, Line, Sheet, Text
from refledge.outputs.drawing.measures import measures_of
from refledge.outputs.drawing.whole import flat, foremost, whole_views
from refledge.study import Study
from tests.outputs.drawing_parts import leaving, overlaps

ROUNDED = 2e-4
"""Lines are joined by directions rounded to 1e-4, and the sight is turned as much: m."""


def weighed(study: Study) -> Study:
    """With a mass table as a design writes it: every part and item by its name."""
    brief = study.brief
    items = (brief.motor, brief.propeller, brief.battery, brief.payload, *brief.others)
    lines = [
        *(MassLine(each.name, "items", 2, each.mass, (0.0, 0.0, 0.0), "") for each in items),
        *(
            MassLine(s.name, "printed", s.quantity, s.mass, (0.0, 0.0, 0.0), "")
            for s in study.parts
        ),
        MassLine("fasteners of the body", "fasteners", 1, 0.1, (0.0, 0.0, 0.0), ""),
    ]
    return replace(study, masses=tuple(lines))


@pytest.fixture(scope="module")
def sheet(study: Study) -> Sheet:
    return arrangement_sheet(study, 9)


def words(sheet: Sheet) -> list[str]:
    return [text.words for text in sheet.texts]


def test_what_stands_behind_is_not_drawn() -> None:
    """A small block behind a large one, and one that looks out by half."""
    large = box((0.0, -0.02, -0.02), (0.01, 0.02, 0.02))
    hidden, half = box((-0.02, 0, 0), (-0.01, 0.01, 0.01)), box((-0.02, 0, 0), (-0.01, 0.04, 0.01))
    near, covered, partly = project_together([large, hidden, half], (1, 0, 0), (0, 1, 0))
    assert len(near) == 4
    assert covered == ()
    ends = np.concatenate(partly)
    assert ends.min(axis=0) == pytest.approx([0.02, 0.0], abs=1e-6)
    assert ends.max(axis=0) == pytest.approx([0.04, 0.01], abs=1e-6)


def test_a_copy_just_behind_another_is_left_out() -> None:
    """Four alike round the middle: from the front the one at the back hides behind the first."""
    mesh = tessellate(box((-0.01, -0.01, 0), (0.01, 0.01, 0.03)))
    spots = [(0.1, 0.0), (0.0, 0.1), (-0.1, 0.0), (0.0, -0.1)]
    places = [
        Placement("leg", f"leg {k}", "part", np.eye(3), np.array([x, y, 0.0]))
        for k, (x, y) in enumerate(spots)
    ]
    assert [p.name for p in foremost("front", places, {"leg": mesh})] == ["leg 0", "leg 1", "leg 3"]
    assert [p.name for p in foremost("left", places, {"leg": mesh})] == ["leg 0", "leg 1", "leg 2"]
    assert len(foremost("above", places, {"leg": mesh})) == 4


def test_from_above_the_nose_is_up_and_left_is_left() -> None:
    assert flat("above", np.array([1.0, 0.0, 0.0])) == pytest.approx([0.0, 1.0])
    assert flat("above", np.array([0.0, 1.0, 0.0])) == pytest.approx([-1.0, 0.0])
    assert flat("left", np.array([1.0, 0.0, 0.5])) == pytest.approx([-1.0, 0.5])
    assert flat("front", np.array([0.0, 1.0, 0.5])) == pytest.approx([1.0, 0.5])


def test_the_list_has_every_gram_and_the_numbers_of_the_part_drawings(study: Study) -> None:
    study = weighed(study)
    rows = listed(study)
    assert sum(row.together for row in rows) == pytest.approx(sum(m.total for m in study.masses))
    assert [row.name for row in rows if not row.number] == ["fasteners of the body"]
    assert {row.name: row.number for row in rows}[study.brief.motor.name] == numbers(study)["motor"]
    assert [numbers(study)[spec.key] for spec in study.parts] == [*range(1, len(study.parts) + 1)]
    given = [row.number for row in rows if row.number]
    assert given == sorted(set(given))


def test_two_items_of_one_name_have_two_numbers(study: Study) -> None:
    twin = study.brief.others[0]
    two = weighed(replace(study, brief=replace(study.brief, others=(*study.brief.others, twin))))
    found = [row.number for row in listed(two) if row.name == twin.name]
    assert len(found) == 2 == len(set(found))
    assert 0 not in found


def test_every_number_that_shows_is_in_one_balloon(study: Study, sheet: Sheet) -> None:
    shown = {key for view in whole_views(study).values() for key in view.targets} | {"disc"}
    wanted = sorted(numbers(study)[key] for key in shown)
    balloons = [int(t.words) for t in sheet.texts if t.anchor == "middle" and t.words.isdigit()]
    assert sorted(balloons) == wanted


def test_leaders_end_on_their_bodies(study: Study) -> None:
    places = study.assembly.placements
    for name, view in whole_views(study).items():
        for key, targets in view.targets.items():
            mesh = study.assembly.meshes[key]
            boxes = [
                flat(name, mesh.vertices @ p.rotation.T + p.translation)
                for p in places
                if p.key == key
            ]
            for target in targets:
                assert any(
                    np.all(target.at > b.min(axis=0) - ROUNDED)
                    and np.all(target.at < b.max(axis=0) + ROUNDED)
                    for b in boxes
                ), (name, key)


def test_overall_dimensions_are_those_of_layout_and_propeller(study: Study, sheet: Sheet) -> None:
    across = np.ptp(study.layout.positions[:, 1]) + study.brief.propeller.diameter
    along = np.ptp(study.layout.positions[:, 0]) + study.brief.propeller.diameter
    texts = [text for text in sheet.texts if "over the propellers" in text.words]
    said = {text.turn: float(text.words.split()[0]) for text in texts}
    assert said == {
        0: pytest.approx(1e3 * across, abs=0.06),
        90: pytest.approx(1e3 * along, abs=0.06),
    }
    assert any(f"Ø{2e3 * study.layout.motor_radius:g}" in each for each in words(sheet))


def test_the_shorter_dimension_stands_nearer(study: Study) -> None:
    """Small propellers leave the frame the wider of the two; then its dimension is the outer."""
    small = replace(study.brief.propeller, diameter=0.01)
    narrow = arrangement_sheet(replace(study, brief=replace(study.brief, propeller=small)), 9)
    for sheet, outer in ((arrangement_sheet(study, 9), "propellers"), (narrow, "frame")):
        level = [text for text in sheet.texts if text.turn == 0]
        spans = {
            t.words.split()[-1]: t.y
            for t in level
            if t.words.endswith(("frame", "over the propellers"))
        }
        lowest = min(spans[name] for name in ("frame", "propellers"))
        assert spans[outer] == lowest
        assert list(spans.values()).count(lowest) == 1


def test_heights_count_from_the_feet(study: Study) -> None:
    found = measures_of(study)
    assert found.heights[0] == (found.ground, "0 ground")
    for z, said in found.heights:
        assert float(said.split()[0]) == pytest.approx(1e3 * (z - found.ground), abs=0.06)
    legs = [p for p in study.assembly.placements if p.key == "leg"]
    depth = study.assembly.meshes["leg"].vertices[:, 2].min()
    assert found.ground == pytest.approx(min(p.translation[2] + depth for p in legs))


def test_every_rotor_is_on_its_disc_with_its_turn(study: Study, sheet: Sheet) -> None:
    for k, spin in enumerate(study.layout.spin):
        assert f"{k + 1} {'CCW' if spin > 0 else 'CW'}" in words(sheet)


def test_it_keeps_inside_and_apart_at_a_scale_that_is_true(sheet: Sheet, study: Study) -> None:
    assert overlaps(sheet) == []
    assert leaving(sheet) == []
    scale = next(each for each in words(sheet) if each.startswith("1:"))
    lines = [mark.points for mark in sheet.marks if isinstance(mark, Line)]
    wanted = study.brief.propeller.diameter * 1e3 / float(scale.split(":")[1])
    rounds = [np.ptp(each, axis=0) for each in lines if len(each) == 181]
    assert sum(np.allclose(each, wanted, rtol=1e-6) for each in rounds) == study.layout.n_arms


def test_a_tall_airframe_with_a_long_list_has_its_side_views_in_a_row(
    study: Study, sheet: Sheet
) -> None:
    """On legs 0.3 m taller and with forty items: at a greater scale than one view under the other
    would leave room for."""

    def low(place: Placement) -> Placement:
        return replace(place, translation=place.translation - np.array([0.0, 0.0, 0.3]))

    places = tuple(low(p) if p.key == "leg" else p for p in study.assembly.placements)
    more = tuple(MassLine(f"item {k}", "items", 1, 0.01, (0.0, 0.0, 0.0), "") for k in range(25))
    tall = replace(
        study, assembly=replace(study.assembly, placements=places), masses=(*study.masses, *more)
    )
    found = arrangement_sheet(tall, 9)

    def height(one: Sheet, said: str) -> float:
        return next(text.y for text in one.texts if text.words == said)

    assert height(sheet, "from the front") > height(sheet, "from the left")
    assert height(found, "from the front") == pytest.approx(height(found, "from the left"), abs=20)
    assert overlaps(found) == []
    assert leaving(found) == []
    scale = next(float(e[2:]) for e in words(found) if e.startswith("1:"))
    assert scale <= 10.0


def test_the_revision_follows_shape_and_place(study: Study, sheet: Sheet) -> None:
    places = list(study.assembly.placements)
    first = next(k for k, p in enumerate(places) if p.key == "leg")
    places[first] = replace(places[first], translation=places[first].translation + 1e-4)
    moved = replace(study, assembly=replace(study.assembly, placements=tuple(places)))
    assert set(words(arrangement_sheet(moved, 9))) - set(words(sheet))
    assert words(arrangement_sheet(study, 9)) == words(sheet)


def test_leaders_do_not_cross() -> None:
    """One comes from far among four from near, which would have to pass it."""
    near = [(k, 38.0, 0.1 * k) for k in range(2, 6)]
    marks = column([(1, 0.0, 0.25), *near], 40.0)
    ranked = [t.words for t in sorted((m for m in marks if isinstance(m, Text)), key=lambda t: t.y)]
    assert ranked[0] == "1"


def test_balloons_keep_apart_and_point_at_their_ends() -> None:
    marks = column([(1, 0.0, 10.0), (2, 5.0, 10.5), (3, 2.0, 11.0)], 40.0)
    middles = [t.y for t in marks if hasattr(t, "words")]
    assert np.diff(middles).min() >= 8.0 - 1e-9
    tips = sorted(tuple(m.loops[0][0]) for m in marks if isinstance(m, Area))
    assert tips == [(0.0, 10.0), (2.0, 11.0), (5.0, 10.5)]
