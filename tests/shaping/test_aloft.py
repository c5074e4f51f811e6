"""The airframe with arms that are solids: as before where they are as before, else as they give."""

from collections.abc import Callable
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from refledge.airframe.grown_beams import TipGive, beam_give
from refledge.model.checks import Verdict
from refledge.outputs.shape_aloft import aloft_json, aloft_rows, aloft_verdict
from refledge.shaping.aloft import Aloft, aloft, scaled
from refledge.shaping.loads import seat_centre
from refledge.shaping.printable import least_wall, of_drawn
from refledge.study import Study
from refledge.verify.results import HotSpot


def spots(study: Study, plastic: float, error: float) -> tuple[HotSpot, ...]:
    return tuple(
        HotSpot(each.case.title, each.case.kind, plastic, error, 0.9, plastic / 2, 0.0, 0.9,
                (0.0, 0.0, 0.0))
        for each in study.assessment.results
    )  # fmt: skip


@pytest.fixture(scope="module")
def flown(study: Study) -> Callable[..., Aloft]:
    """The present arm as if it had been grown, as many times softer as asked."""
    body = of_drawn(study.solids["arm"], least_wall(study.brief.printer))
    mass = next(spec.mass for spec in study.parts if spec.key == "arm")
    tip = TipGive(np.array([study.frame.arm.axis, 0, 0]), beam_give(study.assessment.structure))
    give = tip.about(seat_centre(study.frame))

    def fly(softer: float = 1.0, heavier: float = 0.0, use: float = 0.1, error: float = 0.0):  # type: ignore[no-untyped-def]
        verified = SimpleNamespace(spots=spots(study, use, error))
        found: Any = SimpleNamespace(
            verified=verified, give=TipGive(seat_centre(study.frame), softer * give)
        )
        return aloft(study, body, mass + heavier, found)

    return fly


def test_arms_that_give_as_the_present_ones_change_nothing_but_their_strength(
    study: Study, flown: Callable[..., Aloft]
) -> None:
    made = flown()
    assert made.all_up_mass == pytest.approx(study.all_up_mass, abs=1e-3)
    np.testing.assert_allclose(
        made.assessment.modes.frequencies[:6], study.airframe_modes.frequencies[:6], rtol=0.03
    )
    before = {check.key: check for check in study.checks}
    for check in made.checks:
        assert check.key in before
        if check.part != "arms" or check.group == "stiffness":
            assert check.demand == pytest.approx(before[check.key].demand, rel=0.05), check.key
    plastic = study.task.materials[study.frame.arm.material]
    (full,) = [each for each in made.checks if each.key == "strength-full-thrust-arm"]
    assert full.demand == pytest.approx(0.1 * plastic.strength_xy, rel=0.02)
    assert full.verdict is Verdict.HOLDS


def test_softer_heavier_arms_tilt_more_and_weigh_more(
    study: Study, flown: Callable[..., Aloft]
) -> None:
    made = flown(softer=2.0, heavier=0.02)
    assert made.all_up_mass - study.all_up_mass == pytest.approx(6 * 0.02, abs=2e-3)
    before = {check.key: check for check in study.checks}
    (tilt,) = [each for each in made.checks if each.key == "motor-tilt"]
    assert tilt.demand > 1.5 * before["motor-tilt"].demand
    assert made.arm_modes.frequencies[0] < 0.8 * study.arm_modes.frequencies[0]
    assert made.task.all_up_mass == pytest.approx(made.all_up_mass, abs=1e-3)


def test_a_mesh_error_over_the_margin_cannot_say(flown: Callable[..., Aloft]) -> None:
    made = flown(use=0.4, error=0.5)
    verdicts = {each.key: each.verdict for each in made.checks}
    assert verdicts["strength-full-thrust-arm"] is Verdict.UNKNOWN
    assert verdicts["layers-full-thrust-arm"] is Verdict.HOLDS
    assert made.verdict in (Verdict.UNKNOWN, Verdict.FAILS)


def test_uses_go_with_the_load_on_the_tip(study: Study) -> None:
    own = spots(study, 0.2, 0.1)
    assert scaled(study, study, own) == own
    results = tuple(replace(each, forces=2 * each.forces) for each in study.assessment.results)
    double = replace(study, assessment=replace(study.assessment, results=results))
    for one, two in zip(own, scaled(study, double, own), strict=True):
        assert (two.plastic, two.layers_anywhere) == (2 * one.plastic, 2 * one.layers_anywhere)
        assert two.plastic_error == 2 * one.plastic_error


def test_the_page_tells_both_airframes(study: Study, flown: Callable[..., Aloft]) -> None:
    made = flown(softer=3.0)
    found: Any = SimpleNamespace(study=study, aloft=made, grounded="")
    told = {name: (old, new) for name, old, new in aloft_rows(found)}
    (tilt,) = [name for name in told if name.startswith("motor tilt at full thrust")]
    assert told[tilt][0] != told[tilt][1]
    assert "fails" in told[tilt][1]
    assert f"Of {len(made.checks)} checks" in aloft_verdict(found)
    said = aloft_json(found)
    assert said is not None
    assert said["all_up_mass_kg"] == made.all_up_mass
    grounded: Any = SimpleNamespace(study=study, aloft=None, grounded="no beams")
    assert "no beams" in aloft_verdict(grounded)
    assert aloft_json(grounded) == {"why_not": "no beams"}
    assert not list(aloft_rows(grounded))
