"""Finer meshes are made at the points in doubt, while there is doubt, and no longer."""

from collections.abc import Mapping
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.solids.cases import SolidCase
from refledge.solids.figures import Figure, MeshRun, SolidResults
from refledge.solids.honesty import Estimate
from refledge.solids.hotspot import REACH, Uses, WorstPoint
from refledge.solids.port import MeshSize
from refledge.solids.system import System
from refledge.verify import settle
from refledge.verify.setup import Setup
from tests.solids.bars import bar

PLACE, OTHER = np.array([0.1, 0.01, 0.005]), np.array([0.05, 0.0, 0.0])
LIMIT = {"push": 2.0}  # uses up to a half hold
SETUP = Setup("bar", {}, (), (SolidCase("push"),), MeshSize(4e-3), {"push": "flight"})
NO_BODIES: Mapping[str, Any] = {}


def results(plastic: float, error: float, layers: float = 0.1) -> SolidResults:
    zeros = np.zeros(bar().corners)
    worst = [WorstPoint(use, at, use, at) for use, at in ((plastic, PLACE), (layers, OTHER))]
    uses = Uses(zeros, zeros, worst[0], worst[1])
    system: System = SimpleNamespace()  # type: ignore[assignment]
    run = MeshRun(bar(), system, None, (), (uses,), None, system)
    figures = [
        Figure(f"push: use of {what}", "1", Estimate(use, use, err, 1.0, False))
        for what, use, err in (("plastic", plastic, error), ("layer boundaries", layers, 0.01))
    ]
    return SolidResults(run, tuple(figures), (5e-3, 4e-3), (), run)


def test_only_what_the_error_covers_is_in_doubt() -> None:
    assert settle.in_doubt(SETUP, results(0.45, 0.04), LIMIT) == []
    (place,) = settle.in_doubt(SETUP, results(0.45, 0.06), LIMIT)
    assert place is PLACE
    (place,) = settle.in_doubt(SETUP, results(0.55, 0.06), LIMIT)
    both = settle.in_doubt(SETUP, results(0.55, 0.06, layers=0.495), LIMIT)
    assert [each is want for each, want in zip(both, (PLACE, OTHER), strict=True)] == [True, True]


def test_meshes_get_finer_round_the_point_until_it_is_settled(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    answers = [results(0.46, 0.05), results(0.455, 0.01)]
    asked: list[MeshSize] = []

    def refine(*_: object, size: MeshSize, **_more: object) -> SolidResults:
        asked.append(size)
        return answers[len(asked) - 1]

    monkeypatch.setattr(settle, "refine", refine)
    triangles: Mapping[str, Any] = {"bar": SimpleNamespace(surface=object())}
    found = settle.settled(SETUP, triangles, results(0.45, 0.06), LIMIT)
    assert found is answers[1]
    assert len(asked) == 2
    edges = [min(spot[3] for spot in size.spots) for size in asked]
    assert edges[1] == pytest.approx(edges[0] / 2)
    away = [np.linalg.norm(np.array(spot[:3]) - PLACE) for spot in asked[0].spots]
    assert max(away) == pytest.approx(REACH)
    assert len(away) == 7


def test_doubt_that_stays_ends_at_the_most_meshes(monkeypatch: pytest.MonkeyPatch) -> None:
    count = 0

    def refine(*_: object, size: MeshSize, **_more: object) -> SolidResults:
        nonlocal count
        count += 1
        assert min(spot[3] for spot in size.spots) >= settle.LEAST_EDGE
        return results(0.45, 0.06)

    monkeypatch.setattr(settle, "refine", refine)
    settle.settled(SETUP, NO_BODIES, results(0.45, 0.06), LIMIT)
    assert count == settle.FINER
    monkeypatch.setattr(settle, "MOST_UNKNOWNS", 10)
    settle.settled(SETUP, NO_BODIES, results(0.45, 0.06), LIMIT)
    assert count == settle.FINER


def test_where_no_finer_mesh_can_be_made_the_last_is_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    answers = [results(0.46, 0.05)]

    def refine(*_: object, **_more: object) -> SolidResults:
        if answers:
            return answers.pop()
        raise AnalysisError("no tetrahedra fill the surface")

    monkeypatch.setattr(settle, "refine", refine)
    (first,) = answers
    assert settle.settled(SETUP, NO_BODIES, results(0.45, 0.06), LIMIT) is first
    known = results(0.45, 0.06)
    assert settle.settled(SETUP, NO_BODIES, known, LIMIT) is known


def test_a_clear_case_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(settle, "refine", lambda *_, **__: pytest.fail("refined"))
    known = results(0.3, 0.01)
    assert settle.settled(SETUP, NO_BODIES, known, LIMIT) is known
    assert settle.settled(replace(SETUP, cases=()), NO_BODIES, replace(
        known, finest=replace(known.finest, uses=())), LIMIT)  # fmt: skip
