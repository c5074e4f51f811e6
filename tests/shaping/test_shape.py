"""Growing: stiffer at the same mass, lighter within limits; stopping, going on, keeping apart."""

from dataclasses import replace
from pathlib import Path

import pytest

from refledge.errors import AnalysisError
from refledge.shaping import shape
from refledge.shaping.crisp import crisp
from refledge.shaping.figures import Figures, Moved, Stand
from refledge.shaping.loads import tip_loads
from refledge.shaping.shape import Shaped, shape_arm
from refledge.shaping.space import Space
from refledge.study import Study
from refledge.voxels.problem import Problem, Recipe
from tests.shaping.conftest import QUICK, STOPPED, Halves, laid_out


def test_the_grown_arm_is_stiffer_for_no_more_mass(shaped: Shaped) -> None:
    before, after = shaped.before.of(shaped.flight), shaped.after.of(shaped.flight)
    assert after.deflection < 0.7 * before.deflection
    assert after.tilt < 0.7 * before.tilt
    assert shaped.after.frequencies[0] > 1.1 * shaped.before.frequencies[0]
    law_mass = shaped.design.best.mass * shaped.whole
    assert law_mass <= 1.005 * shaped.budget
    assert shaped.after.mass <= 1.01 * shaped.budget


def test_what_is_grown_keeps_its_marks_and_its_mirror(shaped: Shaped) -> None:
    grown = shaped.grown
    assert (grown.density[grown.keep] == 1).all()
    assert (grown.density[grown.void] == 0).all()
    assert grown.density == pytest.approx(grown.density[:, ::-1], abs=1e-5)
    assert shaped.design.greyness < 0.1


def test_stopping_keeps_the_best_and_the_same_again_goes_on(halves: Halves) -> None:
    voxels = halves.first.grown.grid.shape
    assert [each.iteration for each in halves.told] == list(range(1, STOPPED + 1))
    for shape_of, least, most in halves.pictures:
        assert shape_of == (voxels[0], voxels[2])
        assert 0 <= least < most <= 1
    assert halves.told[0].share == pytest.approx(1 / QUICK.iterations)
    assert 0.05 < halves.told[0].mass < 0.2
    assert halves.first.design.cancelled
    assert any("stopped early" in each for each in halves.first.notes)
    assert not halves.second.design.cancelled
    assert halves.seen == [18, 19, 20]
    assert list(halves.folder.iterdir()) == halves.files
    assert len(halves.files) == 1
    assert len(halves.second.design.history) == QUICK.iterations


def test_another_brief_does_not_take_up_this_ones_work(
    study: Study, space: Space, stand: Stand, tmp_path: Path
) -> None:
    files: list[Path] = []

    def instead(_problem: Problem, _recipe: Recipe, _told: object, file: Path) -> None:
        files.append(file)
        raise AnalysisError("not grown here")

    arm = next(each for each in study.parts if each.key == "arm")
    heavier = replace(study, parts=(replace(arm, mass=1.1 * arm.mass),))
    with laid_out(space, stand) as patch:
        patch.setattr(shape, "optimise", instead)
        patch.setattr(shape, "figures_of", lambda *_: shaped_figures(study))
        for each in (study, study, heavier):
            with pytest.raises(AnalysisError, match="not grown"):
                shape_arm(each, QUICK, None, tmp_path)
    assert files[0] == files[1] != files[2]
    assert files[0].parent == tmp_path


def shaped_figures(study: Study) -> Figures:
    """Figures of an arm that gives 1 J under every load."""
    moved = tuple(Moved(each.name, 1.0, 1.0, 1.0, (1.0,) * 6) for each in tip_loads(study))
    return Figures(0.1, moved, (10.0, 20.0))


def test_crisp_counts_as_many_voxels_and_drops_loose_bits(space: Space) -> None:
    density = (~space.void).astype(float)
    assert (crisp(density, space) == ~space.void).all()
    around = (slice(49, 52), slice(0, 3), slice(1, 4))
    assert not (space.keep | space.void)[around].any()
    density[around] = 0.0
    density[50, 1, 2] = 1.0
    found = crisp(density, space)
    assert not found[around].any()
    assert found.sum() == density.sum() - 1


def test_an_arm_in_two_pieces_is_refused(space: Space) -> None:
    density = (~space.void).astype(float)
    density[50:53] = 0.0
    with pytest.raises(AnalysisError, match="falls into 2 pieces"):
        crisp(density, space)


def test_less_than_is_always_solid_is_refused(study: Study, space: Space, stand: Stand) -> None:
    """With what that weighs, in the message."""
    refused = pytest.raises(AnalysisError, match=r"always solid.* g already; let it weigh more")
    with laid_out(space, stand) as patch, refused:
        patch.setattr(shape, "figures_of", lambda *_: shaped_figures(study))
        shape_arm(study, replace(QUICK, mass=0.005))
