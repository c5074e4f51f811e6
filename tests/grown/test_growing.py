"""The ports of a round: what is grown where, what is sized round it, how far the work is told."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from refledge.inputs.grown import read_grown_arm
from refledge.interfaces import growing
from refledge.interfaces.growing import Stop, grow, named
from refledge.model.brief import Brief
from refledge.model.grown import GrownArm
from refledge.shaping.result import Result
from refledge.shaping.rounds import Hands
from refledge.shaping.shape import Wish
from refledge.study import Study

WISH = Wish(voxel=3e-3, iterations=5)


class Ports:
    """Stands for growing, solving and sizing; notes what each was asked."""

    def __init__(self, drawn: Study) -> None:
        self.drawn = drawn
        self.briefs: list[Brief] = []
        self.arms: list[GrownArm] = []
        self.grown: list[tuple[Study, Wish]] = []
        self.solved: list[tuple[bool, bool]] = []

    def design(self, brief: Brief, *, learned: Any, progress: Any) -> Study:
        progress("sizing arms", 0.5)
        assert learned == "taught"
        self.briefs.append(brief)
        if brief.frame.grown_arm:
            self.arms.append(read_grown_arm(brief.frame.grown_arm))
        return self.drawn

    def shape_arm(self, study: Study, wish: Wish, _told: Any, keep: Path) -> Any:
        self.grown.append((study, wish))
        assert keep.is_dir()
        return SimpleNamespace(grown=None, wish=wish)

    def reanalyse(
        self, _study: Study, _body: Any, *, keep: bool = False, settle: bool = True
    ) -> str:
        self.solved.append((keep, settle))
        return "solved"


@pytest.fixture
def drawn(study: Study) -> Study:
    """As if the brief's arm had been drawn."""
    frame = replace(study.frame, arm=replace(study.frame.arm, grown=None, family="truss"))
    return replace(study, frame=frame, brief=named(study, ""))


@pytest.fixture
def ports(drawn: Study, monkeypatch: pytest.MonkeyPatch) -> Ports:
    made = Ports(drawn)
    for name in ("design", "shape_arm", "reanalyse"):
        monkeypatch.setattr(growing, name, getattr(made, name))
    for name in ("printable", "laid", "of_drawn"):
        monkeypatch.setattr(growing, name, lambda *_: SimpleNamespace(mesh=None, print_rotation=0))
    return made


def test_without_rounds_it_is_grown_once_and_not_solved(
    drawn: Study, ports: Ports, tmp_path: Path
) -> None:
    found = grow(drawn, WISH, tmp_path, lambda *_: None)
    assert ports.grown == [(drawn, WISH)]
    assert not ports.solved
    assert not ports.briefs
    assert found.study is drawn


def test_a_grown_arm_is_grown_on_in_the_room_of_a_drawn_one(
    study: Study, drawn: Study, ports: Ports, tmp_path: Path
) -> None:
    study = replace(study, assessment=replace(study.assessment, landing_force=999.0))
    found = grow(study, WISH, tmp_path, lambda *_: None, learned="taught")  # type: ignore[arg-type]
    (brief,) = ports.briefs
    assert brief.frame.grown_arm == ""
    assert brief.layout.kind == study.layout.kind
    (ground, _) = ports.grown[0]
    assert ground.frame.arm is drawn.frame.arm
    assert ground.assessment is study.assessment
    assert found.study is drawn


def test_rounds_grow_solve_and_size(
    drawn: Study, ports: Ports, arm: GrownArm, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[tuple[str, float]] = []
    stop = Stop()

    def rounds(
        study: Study, ground: Study, wish: Wish, before: Any, hands: Hands, most: int
    ) -> Result:
        assert (study, ground, wish, before, most) == (drawn, drawn, WISH, "solved", 4)
        for number in (1, 2):
            found = hands.grow(ground, wish, number)
            assert hands.solve(ground, found.body) == "solved"
            framed = hands.frame(arm)
        assert framed is drawn
        assert not hands.stopped()
        stop.asked = True
        assert hands.stopped()
        return found

    monkeypatch.setattr(growing, "grown_to_hold", rounds)
    grow(
        drawn, WISH, tmp_path, lambda *each: told.append(each), stop, rounds=4,
        learned="taught",  # type: ignore[arg-type]
    )  # fmt: skip
    assert ports.solved == [(False, False), (True, True), (True, True)]
    assert ports.arms == [arm, arm]
    assert all(brief.frame.arm_family == "choose" for brief in ports.briefs)
    assert not (tmp_path / "arm.toml").exists()  # what is kept is written at the end
    shares = [share for _, share in told]
    assert shares == sorted(shares)
    assert any(what == "round 2: grown arm as printed" for what, _ in told)


def test_without_strength_there_is_one_round(
    drawn: Study, ports: Ports, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[int] = []
    monkeypatch.setattr(growing, "grown_to_hold", lambda *given: asked.append(given[-1]))
    monkeypatch.setattr(growing, "compared", lambda found: found)
    for use in (0.4, None):
        grow(drawn, replace(WISH, use=use), tmp_path, lambda *_: None, rounds=5)
    assert asked == [5, 1]
    assert not ports.grown


def test_a_family_that_was_asked_for_gives_way_to_the_record(study: Study) -> None:
    asked = replace(study.brief, frame=replace(study.brief.frame, arm_family="box"))
    of_box = replace(study, brief=asked)
    assert named(of_box, "/x/arm.toml").frame.arm_family == "choose"
    assert named(of_box, "/x/arm.toml").frame.grown_arm == "/x/arm.toml"
    assert named(of_box, "").frame.arm_family == "box"
