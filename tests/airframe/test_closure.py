"""The mass closure: it settles, or it is said that it has not."""

from collections.abc import Iterator
from types import SimpleNamespace
from typing import Any

import pytest

from refledge import study as studies
from refledge.airframe.closure_checks import closure_checks
from refledge.model.checks import Verdict
from refledge.model.results import ClosureStep
from refledge.study import MASS_TOLERANCE, MOST_PASSES


class Frame:
    """A frame whose mass answers the mass that it was sized for."""

    def __init__(self, answer: Any, monkeypatch: pytest.MonkeyPatch) -> None:
        self.answer = answer
        solids = SimpleNamespace(frame="frame", made=SimpleNamespace(masses={}))
        fakes = {
            "make_task": lambda _b, kind, _r, mass, _q, cards: self.task(mass, kind, cards),
            "size": lambda task, *_: self.sized(task),
            "hold": lambda task, *_: self.sized(task),
            "make_solids": lambda *_: solids,
            "total_mass": lambda lumps: lumps,
            "_ratios": lambda *_: {},
        }
        for name, fake in fakes.items():
            monkeypatch.setattr(studies, name, fake)

    def task(self, mass: float, kind: str = "six-x", cards: object = None) -> Any:
        return SimpleNamespace(all_up_mass=mass, kind=kind, cards=cards, ratios={})

    def sized(self, task: Any) -> Any:
        pool = SimpleNamespace(family="box", material="ASA")
        assessment = SimpleNamespace(lumps=self.answer(task.all_up_mass))
        return SimpleNamespace(
            assessment=assessment, frame_mass=1.0, pool=pool, frame="frame", layout=None
        )

    def close(self) -> Any:
        first = self.task(3.0)
        return studies._close_mass(None, None, first, self.sized(first), lambda *_: None)  # type: ignore[arg-type]


def test_a_closure_that_settles_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    closed = Frame(lambda mass: 3.1 + 0.1 * (mass - 3.1), monkeypatch).close()
    assert 2 <= len(closed.steps) < MOST_PASSES
    assert abs(closed.steps[-1].change) <= MASS_TOLERANCE
    assert closed.steps[-1].change == pytest.approx(
        closed.sized.assessment.lumps - closed.task.all_up_mass
    )
    assert closure_checks(closed.steps, MASS_TOLERANCE) == ()


def test_one_that_goes_to_and_fro_cannot_say(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two frames take turns: each is what the other's mass asks for."""
    closed = Frame(lambda mass: 3.1 if mass < 3.05 else 3.0, monkeypatch).close()
    assert len(closed.steps) == MOST_PASSES + 1
    assert abs(closed.steps[-1].change) == pytest.approx(0.1)
    (check,) = closure_checks(closed.steps, MASS_TOLERANCE)
    assert check.verdict is Verdict.UNKNOWN
    assert check.demand == pytest.approx(0.1)
    monkeypatch.setattr(studies, "all_checks", lambda *_: ())
    assert [each.key for each in studies._checks(closed)] == ["mass-closure"]
    assert "still moves by" in check.note
    assert "100 g" in check.note


def test_what_the_last_pass_gives_is_judged_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """It settles only once no pass is left: that counts."""
    turns = [3.1 if k % 2 else 3.0 for k in range(1, MOST_PASSES + 1)]
    answers: Iterator[float] = iter([*turns, *([turns[-1]] * 9)])
    closed = Frame(lambda _mass: next(answers), monkeypatch).close()
    assert closure_checks(closed.steps[:-1], MASS_TOLERANCE) != ()
    assert closure_checks(closed.steps, MASS_TOLERANCE) == ()


@pytest.mark.parametrize("change", [0.5e-3, -0.5e-3])
def test_within_tolerance_either_way(change: float) -> None:
    assert closure_checks([ClosureStep(3.0, 1.0, change)], 1e-3) == ()
    assert len(closure_checks([ClosureStep(3.0, 1.0, 3 * change)], 1e-3)) == 1
