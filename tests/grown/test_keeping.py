"""From what growing and solving found to the record, and what is said of it."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.airframe.grown_beams import TipGive
from refledge.airframe.grown_strength import bounds
from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.inputs.grown import read_grown_arm
from refledge.inputs.grown_text import RECORD, SURFACE
from refledge.interfaces import shaping
from refledge.model.grown import GrownArm, GrownCase
from refledge.shaping import bearing
from refledge.shaping.bearing import (
    HELD,
    LOOSE,
    SEAT,
    Bears,
    Solved,
    _Judge,
    _others,
    _Sway,
    bears,
)
from refledge.shaping.keeping import kept_arm
from refledge.shaping.shape import Wish
from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import Bedding, FaceLoad, PointMass, SolidCase, Support
from refledge.solids.figures import SolidResults
from refledge.solids.part import PrintedBody, solve_on, solve_part
from refledge.solids.port import MeshSize
from refledge.solids.regions import Plane
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify.results import HotSpot
from refledge.verify.setup import ByHand, Setup
from refledge.verify.stability import stability
from tests.solids.arm_part import PETG


@pytest.fixture
def found(study: Study, arm: GrownArm) -> Any:
    """As ``refledge shape --verify`` would have it, had it just grown the stored arm."""
    bears = Bears(
        arm.cases, arm.unit_plastic, arm.unit_layers, arm.unit_buckling, arm.unit_by_hand
    )  # fmt: skip
    solved = SimpleNamespace(
        give=TipGive(arm.at, arm.give), errors=(arm.give_error, 0.01, 0.2, 0.3),
        modes=tuple(arm.modes), bears=bears,
    )  # fmt: skip
    return SimpleNamespace(
        study=study, solids=(None, solved), grounded="",
        body=SimpleNamespace(mesh=arm.mesh, volume=arm.volume, area=arm.area),
        laid=SimpleNamespace(support=SimpleNamespace(area=arm.support)),
        shaped=SimpleNamespace(
            wish=Wish(voxel=3e-3, support_free=True), design=SimpleNamespace(history=range(15))
        ),
    )  # fmt: skip


def test_what_is_kept_is_what_was_found(found: Any, arm: GrownArm) -> None:
    kept = kept_arm(found)
    assert kept == arm
    assert kept.interface == arm.interface
    assert kept.plastic == arm.plastic
    assert kept.printed == arm.printed
    assert kept.give_error == arm.give_error
    assert kept.how == "stiffest of its mass, voxels of 3 mm, 15 steps, free of support"


def test_an_arm_that_was_not_solved_or_cannot_fly_is_not_kept(
    found: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shaping, "write_shape", lambda _found, _out: ())
    grounded = SimpleNamespace(**vars(found) | {"grounded": "beams cannot"})
    with pytest.raises(AnalysisError, match="beams cannot"):
        kept_arm(grounded)  # type: ignore[arg-type]
    plain = SimpleNamespace(**vars(found) | {"solids": None})
    with pytest.raises(AnalysisError, match="not solved"):
        kept_arm(plain)  # type: ignore[arg-type]
    for each, words in ((grounded, "cannot take this arm: beams cannot"), (plain, "--verify")):
        assert shaping.write(each, tmp_path) == ()  # type: ignore[arg-type]
        assert not list(tmp_path.iterdir())
        assert words in " ".join(shaping.use_lines(each, tmp_path))  # type: ignore[arg-type]
        assert shaping.named_record(each, tmp_path) == ""  # type: ignore[arg-type]


def test_the_record_is_written_and_the_line_for_the_brief_is_told(
    found: Any, arm: GrownArm, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shaping, "write_shape", lambda _found, _out: ())
    out = tmp_path / "grown"
    out.mkdir()
    brief = replace(found.study.brief, folder=str(tmp_path))
    found.study = replace(found.study, brief=brief)
    assert shaping.write(found, out) == (out / SURFACE, out / RECORD)
    assert read_grown_arm(out / RECORD) == arm
    told = "\n".join(shaping.use_lines(found, out))
    assert 'grown_arm = "grown/arm.toml"' in told
    assert "with --verify" in told


@pytest.mark.parametrize("yielding", [(), (Bedding(HELD, 4e10, 2e10),)])
def test_any_load_is_judged_as_the_solid_path_judges_it(yielding: tuple[Bedding, ...]) -> None:
    """A bar held at one end, under a load with its own inertia, and under the opposite one."""
    length, half = 0.06, 0.004
    solid = kernel.box((0, -half, -half), (length, half, half))
    faces = {HELD: Plane((0, 0, 0), (1, 0, 0)), SEAT: Plane((length, 0, 0), (1, 0, 0))}
    body = PrintedBody(solid, PETG, (0.0, 0.0, 1.0))
    load = np.array([3.0, 1.0, 9.0, 0.02, 0.01, 0.03, 0.0, 0.0, 4e3, 0.0, 5e3, 0.0])
    tip, middle = np.array([length, 0.0, 0.0]), np.array([-0.05, 0.0, 0.0])
    case = SolidCase(
        "x", (FaceLoad(SEAT, load[:3], tip, load[3:6]),), load[6:9], load[9:], middle,
        riders_feel=False,
    )  # fmt: skip
    run = solve_part(
        {"arm": body}, faces, (Support((HELD,)),), (case,), size=MeshSize(4.5e-3),
        yielding=yielding,
    ).finest  # fmt: skip
    study: Any = SimpleNamespace(
        frame=SimpleNamespace(
            arm=SimpleNamespace(axis=length), clamp=SimpleNamespace(root_radius=0.05)
        )
    )
    pull, push = _Judge(study, body, run).both(load)
    wanted = run.uses[0].worst_plastic.use, run.uses[0].worst_layers.use
    assert pull == pytest.approx(wanted)
    if not yielding:  # layers bear the pressure at a root held fast, not its pull
        assert push[1] != pytest.approx(wanted[1], rel=0.01)


FELT, TURN = np.array([0.0, 0.0, 4e2]), np.array([0.0, 5e2, 0.0])
HIGH = np.array([0.08, 0.0, 0.02])


@pytest.fixture(scope="module")
def bar() -> tuple[Solved, Floats]:
    """A bar with a motor 20 mm above its end, held by its root and by hand under one load."""
    length, half = HIGH[0], 0.003
    faces = {HELD: Plane((0, 0, 0), (1, 0, 0)), SEAT: Plane((length, 0, 0), (1, 0, 0))}
    body = PrintedBody(kernel.box((0, 0, 0), (1, 1, 1)), PETG, (0.0, 0.0, 1.0))
    low, size = np.array([0.0, -half, -2 * half]), np.array([length, 2 * half, 4 * half])
    mesh = brick_mesh((12, 1, 2), lambda p: low + p * size, faces)
    force, moment = np.array([-3.0, 0.3, 9.0]), np.array([0.02, 0.01, 0.03])
    pull = FaceLoad(SEAT, force, HIGH, moment)
    cases = tuple(
        SolidCase(name, (pull,), FELT, TURN, np.array([-0.05, 0.0, 0.0]), riders_feel=False)
        for name in ("flown", "carried")
    )
    setup = Setup(
        "arm", {}, (Support((HELD,)),), cases, MeshSize(1e-3), {}, buckles=True,
        masses=(PointMass(SEAT, 0.1, HIGH),),
        by_hand={"carried": ByHand(SEAT, HELD, (-0.05, 0.0, -0.03))},
    )  # fmt: skip
    run = solve_on(replace(mesh, bodies=("arm",)), {"arm": body}, setup.supports, cases)
    found = SolidResults(run, (), (2e-3, 1e-3), (), run)
    stable = stability(setup, found, {"flown": 2.0, "carried": 1.0})
    assert stable is not None
    results = [
        SimpleNamespace(case=SimpleNamespace(title=case.name, held_arm=held))
        for case, held in zip(cases, (-1, 0), strict=True)
    ]
    study: Any = SimpleNamespace(
        frame=SimpleNamespace(
            arm=SimpleNamespace(axis=length), clamp=SimpleNamespace(root_radius=0.05)
        ),
        assessment=SimpleNamespace(structure=None, results=results),
    )
    spots = [HotSpot(n, "x", 0.1, 0.0, 0.1, 0.1, 0.0, 0.1, (0, 0, 0)) for n in ("flown", "carried")]
    verified: Any = SimpleNamespace(spots=spots)
    about = moment + np.cross(HIGH - [length, 0.0, 0.0], force)
    load = np.concatenate((force, about, FELT, TURN))
    return Solved(study, setup, body, found, verified, stable), load


def test_any_load_is_looked_at_for_buckling_as_load_cases_are(bar: tuple[Solved, Floats]) -> None:
    """Never too low, and at most by the residual too high that its quicker search leaves."""
    arm, load = bar
    sway, uses = _Sway(arm), arm.stable.uses
    for wanted, held in zip(uses, (False, True), strict=True):
        pulled, pushed = sway.both(load, 1.5, by_hand=held)
        assert 1.5 * wanted * (1 - 1e-6) < pulled < 1.5 * wanted * (1 + LOOSE)
        other, again = sway.both(-load, 1.5, by_hand=held)
        assert abs(other - pushed) < LOOSE * max(pulled, pushed)
        assert abs(again - pulled) < LOOSE * max(pulled, pushed)
    assert uses[1] > 1.1 * uses[0]  # so one is not taken for the other


def test_an_arm_that_is_kept_is_never_nearer_to_buckling_than_its_bound(
    bar: tuple[Solved, Floats], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Papkovich's theorem on a solid: any mixture of its load and of unit loads."""
    arm, load = bar
    monkeypatch.setattr(bearing, "arm_loads", lambda *_: np.stack([load, load]))
    monkeypatch.setattr(bearing, "worst_arm", lambda *_: 0)
    made = bears(arm)
    assert [case.by_hand for case in made.cases[:2]] == [False, True]
    assert [case.buckling for case in made.cases[:2]] == pytest.approx(arm.stable.uses)
    sway = _Sway(arm)
    scale = 0.5 * arm.stable.uses.max() / np.maximum(made.unit_buckling.max(axis=1), 1e-12)
    for mixed in np.random.default_rng(6).normal(size=(3, 12)) * scale + load:
        for held in (False, True):
            borne = bounds(made, mixed[None], np.array([held]))
            true = sway.both(mixed, 1.0, by_hand=held)[0]
            assert borne.buckling[0] >= true * (1 - 1e-3)
            assert borne.buckling[0] < 20 * true


def test_an_arm_of_which_buckling_was_not_found_is_not_kept(bar: tuple[Solved, Floats]) -> None:
    arm, _ = bar
    lost = replace(arm, stable=replace(arm.stable, why="did not converge"))
    with pytest.raises(AnalysisError, match="not found: did not converge"):
        bears(lost)


def test_arms_that_the_bound_is_far_over_are_solved_themselves() -> None:
    first = GrownCase(
        title="t", kind="flight", load=np.eye(12)[2], plastic=1.0, plastic_error=0.1,
        layers=0.5, layers_error=0.01, buckling=0.2, buckling_error=0.04, by_hand=False,
    )  # fmt: skip
    units = [np.full((12, 2), each) for each in (1.0, 0.5, 0.2, 9.0)]
    known = Bears((first,), *units)
    asked = []

    class Judge:
        def both(self, load: Any) -> list[tuple[float, float]]:
            asked.append(load)
            return [(1.2, 0.6), (0.0, 0.0)]

    other = np.eye(12)[2] + 0.5 * np.eye(12)[5]
    loads = np.stack([first.load, 1.02 * first.load, other])
    nobody = np.zeros(3, bool)
    sway = lambda _load, **_: (0.3, 0.0)  # noqa: E731
    found = _others(known, first, loads, nobody, Judge(), sway)  # type: ignore[arg-type]
    assert len(asked) == 1
    assert np.array_equal(asked[0], other)
    assert [case.plastic for case in found.cases] == [1.0, 1.2]
    assert found.cases[1].plastic_error == pytest.approx(0.12)
    assert found.cases[1].buckling == 0.3
    assert found.cases[1].buckling_error == pytest.approx(0.06)


def test_an_arm_far_nearer_to_buckling_by_its_bound_is_solved_too() -> None:
    """Strength is the same whichever way it twists; buckling is not, and little of it is let be."""
    first = GrownCase(
        title="t", kind="landing", load=np.eye(12)[2], plastic=1.0, plastic_error=0.1,
        layers=0.5, layers_error=0.01, buckling=0.2, buckling_error=0.04, by_hand=False,
    )  # fmt: skip
    units = [np.zeros((12, 2)), np.zeros((12, 2)), np.full((12, 2), 0.6), np.full((12, 2), 9.0)]
    judge: Any = SimpleNamespace(both=lambda _load: [(1.0, 0.5)])

    def sway(_load: Any, *, by_hand: bool) -> tuple[float, float]:
        return (5.0 if by_hand else 0.25), 0.0

    loads = np.stack([first.load, first.load + 0.2 * np.eye(12)[5]])
    nobody = np.zeros(2, bool)
    found = _others(Bears((first,), *units), first, loads, nobody, judge, sway)
    assert [case.buckling for case in found.cases] == [0.2, 0.25]
    held = _others(Bears((first,), *units), first, loads, ~nobody, judge, sway)
    assert [case.by_hand for case in held.cases] == [False, True, True]
    small = replace(first, buckling=0.01)
    told = _others(Bears((small,), *units), small, 0.2 * loads, nobody, judge, sway)
    assert told.cases == (small,)
