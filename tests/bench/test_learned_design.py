"""Design with what the bench taught: the cards reach the sums, and the study says so."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.airframe.layout_choice import first_mass
from refledge.airframe.task_making import make_task, rotor_model
from refledge.inputs.brief import read_brief
from refledge.inputs.cards import material_cards
from refledge.interfaces import coupons
from refledge.model.brief import Brief
from refledge.model.learned_cards import LearnedCards
from refledge.model.learning import Learned
from refledge.study import design
from tests.outputs.fake_study import fake_study

BRIEF = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"
SOFT = 0.7


def softened(key: str) -> LearnedCards:
    """Cards with one plastic measured much softer, and surer, than literature has it."""
    cards = dict(material_cards())
    old = cards[key].E_xy
    new = replace(old, value=SOFT * old.value, spread=0.02, measured_here=True)
    cards[key] = replace(cards[key], E_xy=new)
    row = Learned(
        "E_xy", old.value, old.spread, new.value, 0.02, new.value, 0.02, -3.0, "the bench is lower"
    )
    return LearnedCards(cards, {key: (row,)}, {key: ("measured on this bench",), "PLA": ("no",)})


def one_arm(key: str) -> Brief:
    """The example with family and plastic fixed, which is quicker."""
    brief = read_brief(BRIEF)
    return replace(brief, frame=replace(brief.frame, arm_family="box", material=key))


def test_a_task_is_made_with_the_cards_that_are_given() -> None:
    brief, learned = one_arm("PETG"), softened("PETG")
    rotor, mass = rotor_model(brief), first_mass(brief, "six-x")
    plain = make_task(brief, "six-x", rotor, mass, {}).materials["PETG"]
    taught = make_task(brief, "six-x", rotor, mass, {}, cards=learned.cards).materials["PETG"]
    ratio = taught.E / plain.E
    assert ratio == pytest.approx(SOFT)
    assert taught.stiffness_spread == 0.02


@pytest.mark.slow
def test_a_study_holds_and_says_what_was_learned() -> None:
    study = design(one_arm("PETG"), learned=softened("PETG"))
    assert study.cards["PETG"].E_xy.measured_here
    assert study.task.materials["PETG"].stiffness_spread == 0.02
    assert "measured on this bench" in study.notes
    assert set(study.learned) == {"PETG"}


def test_an_arm_of_another_family_is_designed_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[str] = []

    def fake(brief: Brief, **_: object) -> object:
        seen.append(brief.frame.arm_family)
        return fake_study()

    monkeypatch.setattr(coupons, "design", fake)
    order = coupons.Order(
        keys=("short-arm",), out=tmp_path, material="", screw="M3", brief=BRIEF, family="truss",
        span="80 mm", load="500 g", store=None,
    )  # fmt: skip
    (made,) = coupons.run(order, lambda *_: None)
    assert seen == ["truss"]
    assert made.kept_in == ""
    assert len(made.predictions) == 3
