"""Book, pictures and drawing of a frame whose arms fold."""

from dataclasses import replace
from math import radians

import numpy as np
import pytest

from refledge.geometry.folded import wire_way
from refledge.model.checks import Check, Verdict
from refledge.model.hinge import HingeDesign
from refledge.model.results import Fastener
from refledge.outputs import pictures
from refledge.outputs.book import folding as chapter
from refledge.outputs.book.blocks import Points
from refledge.outputs.book.checking import flying, inspecting
from refledge.outputs.book.folding import LOCKED, folding
from refledge.outputs.book.stages import stages_of
from refledge.outputs.book.wiring import way, wires
from refledge.outputs.drawing.measures import chain_lines
from refledge.study import Study

LOCK = Fastener("M4 x 40 polyamide (PA 66) screw", 6, "locks of the arms", 0.08, 0.001)
PIVOT = Fastener("M3 x 40 cap screw", 6, "pivots of the arms", 0.22, 0.003)
LEG = Fastener("M3 x 14 countersunk screw", 4, "legs on the lower plate", 0.22, 0.002)


@pytest.fixture(scope="module")
def hinged(study: Study) -> Study:
    hinge = HingeDesign(
        lock="M4", kind="polyamide", pivot_bore=3.1e-3, lock_bore=4.1e-3,
        turn=radians(80.0), lead=radians(60.0),
    )  # fmt: skip
    play = Check(
        key="hinge-play", title="play", group="fit", part="arms", load_case="", demand=1.3e-3,
        capacity=3e-3, at_least=False, unit="m", shown="mm", margin=1.3, verdict=Verdict.HOLDS,
        method="", source="", spread=0.0, note="",
    )  # fmt: skip
    return replace(
        study, frame=replace(study.frame, hinge=hinge), checks=(*study.checks, play),
        fasteners=(*study.fasteners, PIVOT, LOCK, LEG),
    )  # fmt: skip


def said(blocks: tuple[object, ...]) -> str:
    return " ".join(words for each in blocks if isinstance(each, Points) for words in each.items)


def test_steps_of_clamped_arms_give_way_to_those_of_folding_ones(
    study: Study, hinged: Study
) -> None:
    plain = [stage.title for stage, _ in stages_of(study)]
    folds = {stage.title: fasteners for stage, fasteners in stages_of(hinged)}
    assert "Legs and upper plate: close the stack" in plain
    assert not [title for title in plain if "pivot" in title or "Folding" in title]
    assert "Legs and upper plate: close the stack" not in folds
    assert folds["Legs onto the lower plate"] == (LEG,)
    assert set(folds["Upper plate: pivots and locks"]) >= {PIVOT, LOCK}
    titles = list(folds)
    wanted = ["Legs onto the lower plate", "Folding arms onto the lower plate",
              "Upper plate: pivots and locks"]  # fmt: skip
    assert [title for title in titles if title in wanted] == wanted


def test_the_chapter_says_how_far_how_tight_and_what_to_look_at(
    hinged: Study, study: Study, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(chapter, "folded_picture", lambda _: b"")
    assert folding(study) == ()
    (found,) = folding(hinged)
    words = said(found.blocks)
    for each in ("80 degrees", "60 degrees ahead", "to 0.080 N m", "0.22 N m", "1.3 mm",
                 "plain polyamide, M4"):  # fmt: skip
        assert each in words, each
    steel = replace(hinged.frame, hinge=replace(hinged.frame.hinge, kind="steel"))  # type: ignore[type-var]
    (plain,) = folding(replace(hinged, frame=steel))
    assert "polyamide" not in said(plain.blocks)


def test_locks_are_on_every_list_before_take_off(hinged: Study, study: Study) -> None:
    for make in (flying, inspecting):
        assert LOCKED in said(make(hinged).blocks)
        assert LOCKED not in said(make(study).blocks)


def test_motor_wires_are_longer_by_the_loop_past_the_hinge(hinged: Study, study: Study) -> None:
    slack = wire_way(hinged.frame).slack
    assert slack > 0.01
    assert wires(hinged)[0].length == pytest.approx(wires(study)[0].length + slack)
    assert "leave a loose loop" in way(hinged)
    assert "leave a loose loop" not in way(study)


def test_the_folded_airframe_is_pictured_and_drawn(
    hinged: Study, study: Study, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pictures, "_FOLDED", (-32.0, 48.0, 90, 64))
    assert pictures.folded_picture(hinged).startswith(b"\x89PNG")
    keys = {place.key for place in pictures.folded(hinged).placements}
    assert "disc" not in keys
    assert "battery" not in keys
    more = chain_lines(hinged, "above", -1.0, 1.0)[len(chain_lines(study, "above", -1.0, 1.0)) :]
    assert len(more) == 2 * hinged.frame.n_arms  # an arm and its tip each
    assert all(np.allclose(each[0], each[-1]) for each in more)
    assert len(chain_lines(hinged, "front", -1.0, 1.0)) == len(
        chain_lines(study, "front", -1.0, 1.0)
    )
