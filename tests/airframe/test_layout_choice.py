"""Layouts that what the brief asks for does not go with: passed over, with the reason."""

from dataclasses import replace

import pytest

from refledge.airframe.layout_choice import compare_layouts
from refledge.airframe.task_making import rotor_model
from refledge.errors import WishError
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief


def test_a_layout_without_room_for_skids_is_not_chosen(brief: Brief) -> None:
    wish = replace(
        brief,
        layout=replace(brief.layout, kind="choose"),
        frame=replace(brief.frame, gear="skids"),
    )
    options = {each.kind: each for each in compare_layouts(wish, rotor_model(wish), hardware())}
    assert "skids need four arms" in options["three-pairs"].reason
    assert options["three-pairs"].endurance == 0.0
    (chosen,) = (each for each in options.values() if each.chosen)
    assert chosen.kind != "three-pairs"
    assert chosen.endurance > 0.0


def test_where_none_goes_with_it_the_first_reason_is_told(brief: Brief) -> None:
    wish = replace(brief, frame=replace(brief.frame, gear="skids", feet="pads"))
    with pytest.raises(WishError, match=r"frame\.feet"):
        compare_layouts(wish, rotor_model(wish), hardware())


def test_a_free_layout_tells_the_reason_too(brief: Brief) -> None:
    free = replace(brief.layout, kind="free", arm_angles=(0.1, 1.2, 2.6, -2.4, -1.2))
    wish = replace(brief, layout=free, frame=replace(brief.frame, gear="skids"))
    with pytest.raises(WishError, match="skids need four arms"):
        compare_layouts(wish, rotor_model(wish), hardware())
