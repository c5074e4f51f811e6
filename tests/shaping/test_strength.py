"""Strength in the growth: judged as the solid's is, kept by what is grown, asked for anew."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.shaping import shape
from refledge.shaping.figures import Stand, figures_of
from refledge.shaping.limits import Bounds
from refledge.shaping.shape import Shaped, _notes, shape_arm
from refledge.shaping.space import Space
from refledge.shaping.strength import SINCE, near_held, strength_limit
from refledge.solids.hotspot import REACH
from refledge.study import Study
from refledge.verify.plastics import printed_body
from refledge.voxels.grid import Grid
from refledge.voxels.problem import Problem, Recipe
from tests.shaping.conftest import QUICK, laid_out, pulled


def test_factors_and_strengths_are_those_of_the_solid(study: Study, stand: Stand) -> None:
    limits, plastic = study.brief.limits, printed_body(study, "arm").plastic
    factors = stand.strength.factors
    assert set(factors) == set(stand.names)
    for load in stand.loads:
        wanted = {"flight": limits.flight_factor, "shake": 0.0}
        assert factors[load.name] == wanted.get(load.kind, limits.landing_factor)
    found = stand.strength.strength
    assert found.plane == plastic.strength_xy
    assert (found.across, found.shear) == (plastic.strength_z, plastic.shear_z)


def test_what_lies_at_the_clamp_does_not_count(stand: Stand, space: Space) -> None:
    """Voxels that touch a held node, whatever their size; of others those near enough."""
    grid = Grid((8, 5, 6), 0.6 * REACH)
    held = np.zeros(grid.field, bool)
    held[1, 0, 2, 3] = True
    away = [
        np.sqrt((x + 0.5) ** 2 + (y - 1.5) ** 2 + (z - 2.5) ** 2) * grid.spacing
        for x, y, z in np.ndindex(grid.shape)
    ]
    found = near_held(grid, held)
    assert (found == (np.reshape(away, grid.shape) <= REACH)).all()
    assert found.sum() > 4
    coarse = near_held(replace(grid, spacing=3 * REACH), held)
    assert coarse.sum() == 4
    counts = stand.strength.counts
    assert not counts[space.void].any()
    assert not counts[near_held(space.grid, stand.body.held)].any()
    assert counts[space.keep].any()


def test_use_doubles_with_the_load_and_shaking_is_not_judged(
    study: Study, stand: Stand, space: Space
) -> None:
    whole = (~space.void).astype(np.float64)
    once = figures_of(study, stand, whole)
    twice = figures_of(study, pulled(stand, 2.0, 2.0), whole)
    for load, one, two in zip(stand.loads, once.moved, twice.moved, strict=True):
        assert (one.use > 0) == (load.kind != "shake")
        assert two.use == pytest.approx(2 * one.use, rel=1e-3)
    assert once.use == max(each.use for each in once.moved)
    light = figures_of(study, pulled(stand, 1.0, 0.0), whole)
    landing = next(load.name for load in stand.loads if load.kind == "landing")
    assert once.of(landing).use > 1.1 * light.of(landing).use


def test_growing_asks_for_the_use_wished_for_or_not_at_all(
    study: Study, space: Space, stand: Stand, shaped: Shaped, tmp_path: Path
) -> None:
    """By the whole strength of the stand, from the sharpness on from which shapes are clear."""
    seen: list[Problem] = []
    kept: list[Path] = []

    def instead(problem: Problem, _recipe: Recipe, _told: object, file: Path) -> None:
        seen.append(problem)
        kept.append(file)
        raise AnalysisError("not grown here")

    with laid_out(space, stand) as patch:
        patch.setattr(shape, "optimise", instead)
        patch.setattr(shape, "figures_of", lambda *_: shaped.before)
        for use in (0.3, 0.5, None):
            with pytest.raises(AnalysisError, match="not grown"):
                shape_arm(study, replace(QUICK, use=use), None, tmp_path)
        with pytest.raises(AnalysisError, match="not grown"):
            shape_arm(study, replace(QUICK, use=0.3, mass=0.09), None, tmp_path)
        harder = {each: 2 * factor for each, factor in stand.strength.factors.items()}
        strong = replace(stand, strength=replace(stand.strength, factors=harder))
        patch.setattr(shape, "stand_of", lambda *given: given[3] == {"full": 2.0} and strong)
        with pytest.raises(AnalysisError, match="not grown"):
            shape_arm(study, replace(QUICK, use=0.3, printed=(("full", 2.0),)), None, tmp_path)
    assert seen[2].strength is None
    heavier = seen.pop(3)
    present = next(spec.mass for spec in study.parts if spec.key == "arm")
    assert heavier.most_mass / seen[0].most_mass == pytest.approx(0.09 / present)
    assert seen.pop(3).strength.factors == harder
    assert [each.strength and each.strength.most for each in seen] == [0.3, 0.5, None]
    assert seen[0].strength is not None
    assert seen[0].strength.since == SINCE
    assert len(set(kept)) == 5  # none takes up the work of another


def test_a_growth_that_does_not_come_down_to_its_use_says_so(shaped: Shaped) -> None:
    step = replace(shaped.design.best, uses=(0.5, 0.2), worst_limit=0.25)
    design = replace(shaped.design, best=step)
    (said,) = _notes(design, replace(shaped.wish, use=0.4))
    assert not _notes(design, replace(shaped.wish, use=0.4), kept=True)
    assert "more of its strength is used than asked for, by 25.0%" in said
    assert not _notes(replace(design, best=replace(step, worst_limit=0.0)), shaped.wish)


def test_the_lightest_is_held_against_its_use_too(shaped: Shaped) -> None:
    bounds = Bounds((), 1.0, shaped.after.use / 2)
    assert bounds.worst(shaped.after) == pytest.approx(2.0)


def test_what_came_out_more_as_printed_counts_from_then_on(
    study: Study, stand: Stand, space: Space
) -> None:
    """By load; one that nobody has measured takes the greatest."""
    full = next(each.name for each in stand.loads if each.kind == "flight")
    side = next(each.name for each in stand.loads if each.kind == "landing")
    limit = strength_limit(study, space, stand.body.held, stand.loads, {full: 2.0, side: 3.0})
    for load in stand.loads:
        more = {full: 2.0}.get(load.name, 3.0)
        plain = stand.strength.factors[load.name]
        assert limit.factors[load.name] == pytest.approx(more * plain)
