"""Parts of the example as solids: loads in balance, results kept, beams and solids in agreement.

The limits of agreement (5 % in deflection, 3 % in the first bending modes) are what the project
asks of its beam model; the solids' own mesh error is stated beside each figure.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.geometry import kernel
from refledge.model.checks import Verdict
from refledge.solids.cases import Bedding
from refledge.solids.port import MeshSize
from refledge.study import Study
from refledge.verify import beam_forces, run
from refledge.verify.cache import content_key, load
from refledge.verify.plastics import build_direction, printed_body
from refledge.verify.results import PartVerified
from refledge.verify.setup import Setup, arm_setup, leg_setup, setups
from refledge.verify.solid_checks import in_doubt, solid_checks

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def leg(study: Study) -> tuple[Setup, PartVerified]:
    setup = leg_setup(study)
    return setup, run.solve(study, setup, printed_body(study, "leg"))


def test_every_printed_part_has_a_setup(study: Study) -> None:
    printed = {spec.key for spec in study.parts if spec.printed}
    assert {setup.key for setup in setups(study)} == printed


def test_a_plate_is_pushed_by_what_moves_it(study: Study) -> None:
    """Newton on each plate: the arms push it as its masses, turning with the body, need."""
    lumps = [
        lump
        for lump in study.assessment.lumps
        if lump.arm < 0 and lump.fixed and lump.part not in ("arm", "leg")
    ]
    for result in study.assessment.results:
        if result.case.held_arm >= 0:
            continue
        a, turn = result.acceleration[:3], result.acceleration[3:]
        for plate in (0, 1):
            mine = [lump for lump in lumps if (lump.centre[2] > 0.0) == (plate == 0)]
            wanted = sum(
                (lump.mass * (a + np.cross(turn, lump.centre)) for lump in mine), np.zeros(3)
            )
            loads = beam_forces.plate_loads(study, result, plate)
            total = sum((load.force for load in loads), np.zeros(3))
            scale = max(float(np.abs(wanted).max()), 1.0)
            assert np.allclose(total, wanted, atol=0.01 * scale), result.case.key


def test_layers_lie_as_printed(study: Study) -> None:
    assert np.allclose(build_direction(study.frame, "arm"), (0, 0, -1))
    assert abs(build_direction(study.frame, "leg")[1]) == pytest.approx(1.0)


def test_a_kept_result_is_the_same_and_is_not_solved_again(
    study: Study, leg: tuple[Setup, PartVerified], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup, found = leg
    monkeypatch.setattr(run, "setups", lambda _: (setup,))
    monkeypatch.setattr(run, "solve", lambda *_: found)
    first = run.verify(study, cache=tmp_path)
    monkeypatch.setattr(run, "solve", lambda *_: pytest.fail("solved again"))
    second = run.verify(study, cache=tmp_path)
    assert second.parts[0].spots == first.parts[0].spots
    assert np.array_equal(second.parts[0].use, first.parts[0].use)
    key = content_key(setup, printed_body(study, "leg"))
    (tmp_path / f"{key}.json").write_text("{")
    assert load(tmp_path, key) is None


def test_another_load_is_another_content(study: Study, leg: tuple[Setup, PartVerified]) -> None:
    setup, body = leg[0], printed_body(study, "leg")
    assert content_key(setup, body) != content_key(replace(setup, cases=setup.cases[:1]), body)
    bedded = replace(setup, yields=(Bedding("flange", 1e9, 1e9),))
    assert content_key(setup, body) != content_key(bedded, body)
    softer = replace(body, plastic=replace(body.plastic, E_xy=0.9 * body.plastic.E_xy))
    assert content_key(setup, body) != content_key(setup, softer)


def test_a_part_that_cannot_be_meshed_cannot_say(
    study: Study, leg: tuple[Setup, PartVerified], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> PartVerified:
        raise AnalysisError("no mesh")

    monkeypatch.setattr(run, "setups", lambda _: (leg[0],))
    monkeypatch.setattr(run, "solve", fails)
    found = run.verify(study)
    assert found.failed == (("leg", "no mesh"),)
    assert [check.verdict for check in found.checks] == [Verdict.UNKNOWN]
    assert "no mesh" in found.checks[0].note


def test_a_check_within_its_mesh_error_cannot_say(
    study: Study, leg: tuple[Setup, PartVerified]
) -> None:
    check = solid_checks(study, (leg[1],), ())[0]
    reserve = abs(check.capacity - check.demand)
    assert in_doubt(check, 0.5 * reserve).verdict is check.verdict
    assert in_doubt(check, 1.5 * reserve).verdict is Verdict.UNKNOWN


def test_beams_and_solids_agree_on_the_arm(study: Study) -> None:
    """Under full thrust and held by hand, two modes, on a mesh coarser than arms have otherwise:
    tests/analysis/test_beams_and_solids.py has finer ones of every family."""
    setup = arm_setup(study)
    kept = ("full thrust", *setup.by_hand)
    cases = tuple(case for case in setup.cases if case.name in kept)
    coarse = MeshSize(6e-3, round_elements=1.0)
    setup = replace(setup, size=coarse, cases=cases, n_modes=2)
    found = run.solve(study, setup, printed_body(study, "arm"))
    assert {spot.case for spot in found.spots} == set(kept)
    assert all(spot.buckling is not None for spot in found.spots)
    figures = {each.name: each for each in found.figures}
    for name in ("full thrust: deflection of seat", "full thrust: tilt of seat"):
        assert abs(figures[name].difference or 1.0) < 0.05, figures[name]
    for name in ("mode 1", "mode 2"):
        assert abs(figures[name].difference or 1.0) < 0.03, figures[name]


def test_a_split_arm_is_taken_in_one_piece(study: Study) -> None:
    arm = replace(study.frame.arm, split=0.14, lap=0.024, lap_screw="M3")
    parts = tuple(
        replace(spec, key="arm_inner") if spec.key == "arm" else spec for spec in study.parts
    ) + tuple(replace(spec, key="arm_outer") for spec in study.parts if spec.key == "arm")
    solids = {key: solid for key, solid in study.solids.items() if key != "arm"}
    split = replace(study, frame=replace(study.frame, arm=arm), parts=parts, solids=solids)
    assert setups(split)[0].key == "arm"
    whole = kernel.volume(printed_body(split, "arm").solid)
    assert whole > kernel.volume(study.solids["arm"])  # the lap's block fills the void
