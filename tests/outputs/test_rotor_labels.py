"""Rotors' numbers stand clear of leaders and outlines wherever their discs have room."""

import numpy as np
import pytest

from refledge.outputs.drawing.arrangement import arrangement_sheet
from refledge.outputs.drawing.marks import Line, Text, line
from refledge.outputs.drawing.rotors import (
    around,
    passing,
    rotor_labels,
    segments,
    set_down,
)
from refledge.study import Study


def test_what_passes_through_a_box_is_what_has_a_point_in_it() -> None:
    """A thousand pieces by chance, upright and level ones too, against points along each."""
    draw = np.random.default_rng(3)
    ends = draw.uniform(-4.0, 4.0, (1000, 2, 2))
    ends[:100, 1, 0] = ends[:100, 0, 0]
    ends[100:200, 1, 1] = ends[100:200, 0, 1]
    room = (-1.0, -0.5, 1.5, 1.0)
    share = np.linspace(0.0, 1.0, 4001)[:, None, None]
    along = ends[:, 0] + share * (ends[:, 1] - ends[:, 0])
    within = np.all((along >= room[:2]) & (along <= room[2:]), axis=2).any(axis=0)
    found = passing(ends, room)
    assert np.count_nonzero(found != within) <= 2  # corners cut finer than the points stand
    assert not (within & ~found).any()
    assert 100 < np.count_nonzero(found) < 900


def test_words_go_to_the_first_place_that_is_free() -> None:
    places = [(0.0, 0.0), (30.0, 0.0), (60.0, 0.0)]
    across = line("thin", (-50.0, 1.0), (10.0, -1.0))
    (free,) = set_down(["1 CW"], places, [across])
    assert free.x == 30.0
    taken = Text(30.0, 0.0, "nose")
    (free,) = set_down(["1 CW"], places, [across, taken])
    assert free.x == 60.0
    (free,) = set_down(["1 CW"], places, [])
    assert free.x == 0.0


def test_where_nothing_is_free_the_least_is_crossed() -> None:
    grid = [line("fine", (x, -9.0), (x, 9.0)) for x in (-1.0, 0.0, 1.0, 30.0)]
    (found,) = set_down(["1 CW"], [(0.0, 0.0), (30.0, 0.0)], grid)
    assert found.x == 30.0


def test_no_line_passes_through_a_rotor_s_number(study: Study) -> None:
    sheet = arrangement_sheet(study, 9)
    said = [words for label in rotor_labels(study) for words in label.words]
    labels = [text for text in sheet.texts if text.words in said]
    assert len(labels) == study.layout.n_rotors
    ends = segments([mark for mark in sheet.marks if isinstance(mark, Line)])
    for each in labels:
        assert not passing(ends, around([each])).any(), each.words


def test_labels_stay_on_their_discs(study: Study) -> None:
    """Wherever they are tried: nearer to their own motor than its propeller reaches."""
    radius = study.brief.propeller.diameter / 2
    motors = np.array([[-y, x] for x, y, _ in study.layout.positions])
    for arm, label in enumerate(rotor_labels(study)):
        own = motors[study.layout.arm_of_rotor.index(arm)]
        assert np.linalg.norm(label.places - own, axis=1) == pytest.approx(
            np.tile([0.62, 0.5, 0.75], len(label.places) // 3) * radius
        )
