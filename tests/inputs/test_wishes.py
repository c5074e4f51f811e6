"""Wishes that go together or not: masts, holders and folding arms in a brief."""

import pytest

from refledge.inputs.brief import parse_brief
from tests.inputs.faults import problems
from tests.inputs.texts import GOOD, line_number

RECEIVER = """\
[[others]]
name = "GNSS receiver"
mass = "42 g"
condition = "sound"
length = "50 mm"
width = "50 mm"
height = "14 mm"
"""


def masted(name: str, height: str = 'z = "90 mm"\n', items: str = RECEIVER) -> str:
    return f'{GOOD}{items}{height}[frame]\nmast = "{name}"\n'


def test_a_mast_carries_one_of_the_others() -> None:
    assert parse_brief(masted("GNSS receiver")).frame.mast == "GNSS receiver"


@pytest.mark.parametrize(
    ("text", "allowed", "step"),
    [
        (masted("gnss reciever"), '"GNSS receiver"', 'did you mean "GNSS receiver"?'),
        (masted("camera"), '"GNSS receiver"', "name one of them, or strike it out"),
        (masted("camera", "", ""), "there is none", "name one of them, or strike it out"),
        (masted("GNSS receiver", ""), "a height z above zero", "give it: others[1].z"),
        (masted("GNSS receiver", 'z = "-90 mm"\n'), "a height z above zero", "others[1].z"),
    ],
)
def test_a_mast_for_nothing_is_told_on_its_line(text: str, allowed: str, step: str) -> None:
    (found,) = problems(text)
    assert (found.field, found.where) == ("frame.mast", f"brief.toml:{line_number('mast =', text)}")
    assert allowed in found.allowed
    assert step in found.next_step


@pytest.mark.parametrize("wish", ["receiver_holder", "antenna_holder"])
def test_a_holder_holds_one_of_the_others(wish: str) -> None:
    good = f'{GOOD}{RECEIVER}[frame]\n{wish} = "GNSS receiver"\n'
    assert getattr(parse_brief(good).frame, wish) == "GNSS receiver"
    (found,) = problems(good.replace(f'{wish} = "GNSS', f'{wish} = "gnss'))
    assert found.field == f"frame.{wish}"
    assert found.next_step == 'did you mean "GNSS receiver"?'


def test_what_the_mast_carries_is_in_no_holder() -> None:
    (found,) = problems(masted("GNSS receiver") + 'receiver_holder = "GNSS receiver"\n')
    assert found.field == "frame.receiver_holder"
    assert found.next_step == "strike out one of the two"


def test_a_faulty_height_is_told_once() -> None:
    (found,) = problems(masted("GNSS receiver", 'z = "90"\n'))
    assert found.field == "others[1].z"


@pytest.mark.parametrize(
    ("frame", "field", "allowed"),
    [
        ('arm_root = "folding"\narm_family = "tube"', "frame.arm_root", "a tube is squeezed"),
        ('weak_link = "bolt"', "frame.weak_link", "the lock bolt of folding arms"),
        ('arm_root = "hinged"', "frame.arm_root", '"folding"'),
        ('hinge_gap = "0.1"', "frame.hinge_gap", "mm"),
    ],
)
def test_what_cannot_fold_is_refused_with_its_reason(frame: str, field: str, allowed: str) -> None:
    (found,) = problems(f"{GOOD}[frame]\n{frame}\n")
    assert found.field == field
    assert allowed in found.allowed


def test_folding_arms_carry_no_mast_and_may_have_a_shear_bolt() -> None:
    (found,) = problems(masted("GNSS receiver") + 'arm_root = "folding"\n')
    assert (found.field, "strike out frame.mast" in found.next_step) == ("frame.arm_root", True)
    brief = parse_brief(f'{GOOD}[frame]\narm_root = "folding"\nweak_link = "bolt"\n')
    assert (brief.frame.arm_root, brief.frame.weak_link) == ("folding", "bolt")
    assert brief.frame.hinge_gap == pytest.approx(1e-4)
