"""The lightest arm that keeps its limits: they are met by whole voxels, and it weighs less."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.ndimage import binary_dilation

from refledge.errors import InputError
from refledge.shaping.crisp import BESIDE, as_printed, crisp, made_crisp, stronger
from refledge.shaping.figures import Figures, Moved, Stand, figures_of, strained
from refledge.shaping.limits import Bound, Bounds, as_frequency, as_limits, bounds_of
from refledge.shaping.shape import Wish, shape_arm
from refledge.shaping.space import Space
from refledge.shaping.voxelise import solid_shares
from refledge.study import Study


@pytest.fixture(scope="module")
def before(study: Study, stand: Stand, space: Space) -> Figures:
    return figures_of(study, stand, solid_shares(study.solids["arm"], space.grid))


@pytest.mark.slow
def test_the_lightest_arm_keeps_its_limits_and_weighs_less(study: Study) -> None:
    """Few steps: far from the least mass, yet well below the drawn arm's on the same voxels.

    Strength, which needs more steps and smaller voxels, is left off; ``tests/voxels`` has it.
    """
    found = shape_arm(study, Wish(voxel=3e-3, iterations=15, goal="mass", use=None))
    assert found.bounds is not None
    assert found.bounds.worst(found.after) <= 1
    assert found.after.frequencies[0] >= found.bounds.frequency
    assert found.after.mass < 0.9 * found.before.mass
    assert any("within its limits" in each for each in found.notes)


def test_limits_are_the_briefs_at_full_thrust_and_the_present_arms_elsewhere(
    study: Study, stand: Stand, before: Figures
) -> None:
    bounds = bounds_of(study, stand, before)
    title = study.assessment.result("full-thrust").case.title
    full = {each.what: each for each in bounds.motions if each.case == title}
    reach = study.layout.motor_radius - study.frame.clamp.root_radius
    assert full["deflection"].most == study.brief.limits.tip_deflection * reach
    assert 0 < full["tilt"].most <= study.brief.limits.motor_tilt
    rest = [each for each in bounds.motions if each.case != title]
    assert len(rest) == 2 * (len(stand.loads) - 1)
    assert [each.used(before.of(each.case)) for each in rest] == pytest.approx([1.0] * len(rest))
    assert bounds.frequency <= before.frequencies[0]
    assert bounds.worst(before) == pytest.approx(1.0)


def test_limits_for_the_optimiser_feel_the_same_motions(
    study: Study, stand: Stand, before: Figures
) -> None:
    bounds = bounds_of(study, stand, before)
    u = np.random.default_rng(0).standard_normal(stand.body.grid.field)
    for limit, bound in zip(as_limits(bounds, stand, 0.9), bounds.motions, strict=True):
        assert limit.most == pytest.approx(0.9 * bound.most)
        seen = float(np.vdot(limit.feel, u))
        assert seen == pytest.approx(float(stand.grip.motion(u[None])[0, bound.axis]))
    asked = as_frequency(study, bounds, stand, 0.81)
    assert asked.least == pytest.approx(bounds.frequency / 0.9)


def test_the_worst_of_all_is_told() -> None:
    bounds = Bounds((Bound("pull", "deflection", 2, 2e-3),), 20.0)
    moved = Moved("pull", 3e-3, 0.0, 1.0, (0.0, 0.0, -1e-3, 0.0, 0.0, 0.0))
    assert bounds.worst(Figures(0.1, (moved,), (40.0, 50.0))) == pytest.approx(0.5)
    assert bounds.worst(Figures(0.1, (moved,), (10.0, 50.0))) == pytest.approx(4.0)
    assert bounds.worst(Figures(0.1, (moved,), ())) == np.inf


def test_more_voxels_are_taken_until_the_limits_are_kept(
    study: Study, stand: Stand, space: Space
) -> None:
    """A grey arm, densest near its faces: its crisp counts bend less the more there are."""
    draw = np.random.default_rng(0).uniform(0.6, 0.7, space.grid.shape)
    density = np.where(space.keep, 1.0, np.where(space.void, 0.0, draw))
    few, figures = made_crisp(study, stand, density, space, None, None)
    case = figures.moved[0].case
    tip = abs(figures.of(case).motion[2])
    bounds = Bounds((Bound(case, "deflection", 2, 0.8 * tip),), 1.0)
    more, stiffer = made_crisp(study, stand, density, space, None, bounds)
    assert np.array_equal(few, crisp(density, space))
    assert more.sum() > few.sum()
    assert bounds.worst(stiffer) <= 1
    printed = as_printed(density, space, more, None)
    added = more & (density < np.sort(density.ravel())[-round(density.sum())])
    assert added.any()
    assert (printed[added] == 1).all()
    assert np.array_equal(printed[~added], density[~added])


def test_voxels_are_put_beside_overused_ones(study: Study, stand: Stand, space: Space) -> None:
    """An arm with a notch nearly through it, where it uses most: that is filled, and no more."""
    density = np.where(space.void, 0.0, 1.0)
    notch = np.zeros(space.grid.shape, bool)
    notch[48:54, :, :-4] = True
    notch &= ~(space.keep | space.void)
    density[notch] = 0.0
    few, figures = made_crisp(study, stand, density, space, None, None)
    uses = strained(stand, few.astype(np.float64))
    assert uses.max() == pytest.approx(figures.use, rel=1e-6)
    most = 0.8 * figures.use
    beside = binary_dilation(uses > most, iterations=BESIDE) & ~space.void
    more, better = made_crisp(study, stand, density, space, None, Bounds((), 1.0, most))
    assert better.use <= most
    assert more[few | beside].all()
    assert not (more & space.void).any()
    assert (more & ~few).sum() < notch.sum()
    assert stronger(stand, few, space, None, 0.05 * figures.use) is None


def test_a_brief_whose_thrust_bends_no_arm_is_refused(
    study: Study, stand: Stand, before: Figures
) -> None:
    title = study.assessment.result("full-thrust").case.title
    other = replace(
        stand,
        loads=tuple(replace(each, name=f"{each.name}!") for each in stand.loads),
    )
    with pytest.raises(InputError, match=title):
        bounds_of(study, other, before)
