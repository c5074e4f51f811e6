"""From what growing and solving found to the record, and what is said of it."""

from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.airframe.grown_beams import TipGive
from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.inputs.grown import read_grown_arm
from refledge.inputs.grown_text import RECORD, SURFACE
from refledge.interfaces import shaping
from refledge.model.grown import GrownArm, GrownCase
from refledge.shaping.bearing import HELD, SEAT, Bears, _Judge, _others
from refledge.shaping.keeping import kept_arm
from refledge.shaping.shape import Wish
from refledge.solids.cases import FaceLoad, SolidCase, Support
from refledge.solids.part import PrintedBody, solve_part
from refledge.solids.port import MeshSize
from refledge.solids.regions import Plane
from refledge.study import Study
from tests.solids.arm_part import PETG


@pytest.fixture
def found(study: Study, arm: GrownArm) -> Any:
    """As ``refledge shape --verify`` would have it, had it just grown the stored arm."""
    bears = Bears(arm.cases, arm.unit_plastic, arm.unit_layers)
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
    assert 'grown_arm = "grown/arm.toml"' in "\n".join(shaping.use_lines(found, out))


def test_any_load_is_judged_as_the_solid_path_judges_it() -> None:
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
        {"arm": body}, faces, (Support((HELD,)),), (case,), size=MeshSize(4.5e-3)
    ).finest
    study: Any = SimpleNamespace(
        frame=SimpleNamespace(
            arm=SimpleNamespace(axis=length), clamp=SimpleNamespace(root_radius=0.05)
        )
    )
    pull, push = _Judge(study, body, run).both(load)
    wanted = run.uses[0].worst_plastic.use, run.uses[0].worst_layers.use
    assert pull == pytest.approx(wanted)
    assert push[1] != pytest.approx(wanted[1], rel=0.01)  # layers bear pressure, not pull


def test_arms_that_the_bound_is_far_over_are_solved_themselves() -> None:
    first = GrownCase(
        title="t", kind="flight", load=np.eye(12)[2], plastic=1.0, plastic_error=0.1,
        layers=0.5, layers_error=0.01,
    )  # fmt: skip
    known = Bears((first,), np.full((12, 2), 1.0), np.full((12, 2), 0.5))
    asked = []

    class Judge:
        def both(self, load: Any) -> list[tuple[float, float]]:
            asked.append(load)
            return [(1.2, 0.6), (0.0, 0.0)]

    other = np.eye(12)[2] + 0.5 * np.eye(12)[5]
    loads = np.stack([first.load, 1.02 * first.load, other])
    found = _others(known, first, loads, Judge())  # type: ignore[arg-type]
    assert len(asked) == 1
    assert np.array_equal(asked[0], other)
    assert [case.plastic for case in found.cases] == [1.0, 1.2]
    assert found.cases[1].plastic_error == pytest.approx(0.12)
