"""Beams fitted to a solid's tip: they give as it does, in every motion, and weigh as before."""

import numpy as np
import pytest

from refledge.airframe.assessment import assess
from refledge.airframe.grown_beams import TipGive, beam_give, fitted
from refledge.airframe.places import part_centres
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.analysis.beam import modes
from refledge.errors import AnalysisError
from refledge.typed import Floats


def seat(sized: Sized) -> Floats:
    arm = sized.frame.arm
    return np.array([arm.axis, 0.0, arm.depth_root / 2])


def own(sized: Sized) -> TipGive:
    """What the drawn arm's beams give, of the seat."""
    tip = np.array([sized.frame.arm.axis, 0.0, 0.0])
    return TipGive(
        seat(sized), TipGive(tip, beam_give(sized.assessment.structure)).about(seat(sized))
    )


def test_a_cantilevers_tip_gives_as_the_books_say() -> None:
    """Timoshenko, Strength of Materials I: w = F L^3 / 3 EI and so on; moved up by h, a force
    along the arm turns it and a moment moves it along."""
    L, EI, h = 0.2, 3.0, 0.01
    give = np.zeros((6, 6))
    give[2, 2], give[4, 4] = L**3 / 3 / EI, L / EI
    give[2, 4] = give[4, 2] = -(L**2) / 2 / EI
    found = TipGive(np.zeros(3), give).about(np.array([0.0, 0.0, h]))
    assert found[0, 4] == pytest.approx(h * L / EI)
    assert found[0, 0] == pytest.approx(h**2 * L / EI)
    assert found[4, 0] == found[0, 4]
    np.testing.assert_allclose(found[2:, 2:], give[2:, 2:])


def test_beams_give_as_the_arm_that_they_came_from(sized: Sized) -> None:
    structure, tip = sized.assessment.structure, own(sized)
    made = fitted(structure, sized.frame, tip)
    assert made.mismatch < 0.01
    before, _ = modes(structure.frame, 12)
    after, _ = modes(made.structure.frame, 12)
    np.testing.assert_allclose(after[:6], before[:6], rtol=0.03)


@pytest.mark.parametrize(("row", "column"), [(0, 0), (1, 1), (2, 2), (3, 3), (2, 4), (0, 4)])
def test_softer_arms_give_more_in_each_motion(sized: Sized, row: int, column: int) -> None:
    """A solid of another shape: stiffer at the root, softer across, its centroid elsewhere."""
    tip = np.array([sized.frame.arm.axis, 0.0, 0.0])
    scale = np.diag([1.0, 1.3, 0.7, 1.2, 0.8, 1.1])
    wanted = scale @ own(sized).about(tip) @ scale
    made = fitted(sized.assessment.structure, sized.frame, TipGive(tip, wanted))
    found = beam_give(made.structure)
    size = np.sqrt(wanted[row, row] * wanted[column, column])
    assert found[row, column] == pytest.approx(wanted[row, column], abs=0.03 * size)
    assert made.mismatch < 0.03


def test_masses_stay_and_softer_arms_tilt_more(task: Task, sized: Sized) -> None:
    tip = own(sized)
    twice = TipGive(tip.at, 2 * tip.give)
    found = assess(
        task, sized.frame, sized.layout, sized.part_masses,
        part_centres(sized.frame, sized.layout),
        lambda structure: fitted(structure, sized.frame, twice).structure,
    )  # fmt: skip
    old, new = sized.assessment, found
    masses = [
        sum(bar.mass(each.structure.frame.nodes) for bar in each.structure.bars)
        for each in (old, new)
    ]
    assert masses[1] == pytest.approx(masses[0], rel=1e-9)
    tilts = [each.result("full-thrust").motor_tilt.max() for each in (old, new)]
    assert 1.5 < tilts[1] / tilts[0] < 2.05  # the clamp and plates give as before
    assert new.modes.frequencies[0] < 0.85 * old.modes.frequencies[0]


def test_what_no_beams_can_do_is_refused(sized: Sized) -> None:
    """A tip that turns under a force but hardly moves."""
    tip = np.array([sized.frame.arm.axis, 0.0, 0.0])
    give = own(sized).about(tip)
    give[2, 2] *= 10.0
    with pytest.raises(AnalysisError, match="beams cannot give"):
        fitted(sized.assessment.structure, sized.frame, TipGive(tip, give))
