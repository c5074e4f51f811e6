"""A folding frame switched to polyamide locks in the workbench has those that sizing would take."""

from dataclasses import replace

import pytest

from refledge.airframe.hinge_uses import least_lock, lock_uses
from refledge.geometry.hinge import hinge_of
from refledge.live.drawn import Drawn, drawn_of
from refledge.live.evaluate import evaluate
from refledge.model.brief import Brief
from refledge.study import Study


@pytest.fixture(scope="module")
def drawn(small: Study) -> Drawn:
    return drawn_of(small)


def folding(study: Study, link: str) -> Brief:
    wish = replace(study.brief.frame, arm_root="folding", weak_link=link)
    return replace(study.brief, frame=wish)


def test_the_switch_takes_the_lock_that_sizing_takes(small: Study, drawn: Drawn) -> None:
    """The least that bears the loads of the frame that has it; a size less does not."""
    steel = evaluate(small, drawn, folding(small, "none"), {}).study
    assert hinge_of(steel.frame).kind == "steel"
    held = evaluate(steel, drawn, folding(small, "bolt"), {}).study
    hinge = hinge_of(held.frame)
    assert hinge.kind == "polyamide"
    assert hinge.lock == least_lock(held.task, held.frame, held.assessment) != "M3"
    assert max(lock_uses(held.task, held.frame, held.assessment).values()) <= 1.0


def test_another_edit_leaves_the_lock_as_it_is(small: Study, drawn: Drawn) -> None:
    brief = folding(small, "bolt")
    held = evaluate(small, drawn, brief, {}).study
    soft = replace(brief, limits=replace(brief.limits, flight_factor=1.0, landing_factor=0.5))
    light = evaluate(held, drawn, soft, {}).study
    assert hinge_of(light.frame).lock == hinge_of(held.frame).lock
    assert least_lock(light.task, light.frame, light.assessment) != hinge_of(light.frame).lock
