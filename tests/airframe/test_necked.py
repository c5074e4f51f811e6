"""A neck in each arm's root: softer by what its give adds, and the more stressed for it."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.airframe.fillness import fill_of
from refledge.airframe.necked import (
    FIRST_SPAN,
    LEAST_INSIDE,
    NECK,
    neck_section,
    neck_share,
    necked,
    no_neck,
    stiffness_of,
    with_necks,
)
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.airframe.weak_links import link_margins
from refledge.errors import AnalysisError
from refledge.repair.weak_link import size_words


def test_as_wide_as_the_arm_it_changes_nothing_much(task: Task, sized: Sized) -> None:
    """The beam's section is that of its middle, the neck's that of its first centimetre, where a
    tapered arm is deeper: stiffness within 2 %."""
    same = necked(task, sized.frame, sized.layout, sized.assessment, 1.0)
    first, tilt = stiffness_of(sized.assessment)
    assert same.first_mode == pytest.approx(first, rel=0.02)
    assert same.tilt == pytest.approx(tilt, rel=0.02)


def test_a_narrower_neck_is_softer_and_bears_less(task: Task, sized: Sized) -> None:
    tried = [necked(task, sized.frame, sized.layout, sized.assessment, share)
             for share in (1.0, 0.85, 0.7)]  # fmt: skip
    assert [each.first_mode for each in tried] == sorted(
        (each.first_mode for each in tried), reverse=True
    )
    assert [each.tilt for each in tried] == sorted(each.tilt for each in tried)
    margins = [link_margins(task, sized.frame, each.found, "arm") for each in tried]
    assert margins[0][1] > margins[1][1] > margins[2][1]


def test_neck_and_the_rest_of_the_beam_give_in_series(task: Task, sized: Sized) -> None:
    """By hand for one beam: its turn under a unit moment is the sum of both lengths over EI."""
    structure, arm, fill = sized.assessment.structure, sized.frame.arm, fill_of(task.brief)
    thin = with_necks(structure, arm, 0.8, fill)
    number = structure.beams_of("arm", 2)[FIRST_SPAN]
    bar = structure.bars[number]
    length = bar.length(structure.frame.nodes)
    neck = neck_section(arm, 0.8, bar, fill)["Iz"]
    turn = (length - NECK) / bar.section["Iz"] + NECK / neck
    assert length / thin.frame.Iz[number] == pytest.approx(turn)
    others = [k for k in range(len(structure.bars))
              if k not in [structure.beams_of("arm", n)[FIRST_SPAN] for n in range(6)]]  # fmt: skip
    assert np.array_equal(thin.frame.Iz[others], structure.frame.Iz[others])
    assert neck < 0.8 * bar.section["Iz"]  # lateral stiffness falls faster than width


def test_the_neck_is_that_of_the_span_s_first_beam(sized: Sized) -> None:
    structure, arm = sized.assessment.structure, sized.frame.arm
    number = structure.beams_of("arm", 0)[FIRST_SPAN]
    start = structure.frame.nodes[structure.bars[number].a]
    root = sized.frame.clamp.root_radius + arm.root_length
    assert np.linalg.norm(start[:2]) == pytest.approx(root)


def test_what_cannot_be_necked_is_refused(task: Task, sized: Sized) -> None:
    fill = fill_of(task.brief)
    with pytest.raises(AnalysisError, match="no hollow left"):
        with_necks(sized.assessment.structure, sized.frame.arm, 0.1, fill)
    with pytest.raises(AnalysisError, match="tubes are bought"):
        with_necks(sized.assessment.structure, replace(sized.frame.arm, family="tube"), 0.8, fill)


def test_the_neck_is_as_narrow_as_the_strength_wanted(task: Task, sized: Sized) -> None:
    """Drawn and solved again it bears 0.8 of what the arm bears now, within a step of width."""
    before = 1.0 + min(link_margins(task, sized.frame, sized.assessment, "arm"))
    share = neck_share(task, sized.frame, sized.layout, sized.assessment, 0.8)
    thin = necked(task, sized.frame, sized.layout, sized.assessment, share)
    after = 1.0 + min(link_margins(task, sized.frame, thin.found, "arm"))
    assert after / before == pytest.approx(0.8, abs=0.01)
    assert after <= 0.8 * before  # it errs on the weaker side
    least = neck_share(task, sized.frame, sized.layout, sized.assessment, 0.01)
    assert least * sized.frame.arm.width == pytest.approx(
        2 * sized.frame.arm.side + LEAST_INSIDE, rel=1e-3
    )


def test_an_arm_too_short_or_too_narrow_for_a_neck_says_so(sized: Sized) -> None:
    """A span of 40 mm in five beams has 8 mm for a neck of 10; walls leave no hollow."""
    arm = sized.frame.arm
    assert no_neck(arm) == ""
    short = replace(arm, length=arm.root_length + arm.tenon_length + 40e-3)
    assert "too short for a neck of 10 mm" in no_neck(short)
    assert "no room for a neck" in no_neck(replace(arm, side=(arm.width - LEAST_INSIDE) / 2))
    words = size_words("arm", replace(sized.frame, arm=short), sized.assessment, 0.8)
    assert words.startswith("an arm that bears 80% of what this one bears; the arm's span is too")
