"""An arm grown to stand on the bed: nothing leans past 45 degrees, little is left to support."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.shaping.crisp import crisp
from refledge.shaping.figures import Stand
from refledge.shaping.printable import least_wall, printable
from refledge.shaping.shape import Shaped, bed_of, shape_arm
from refledge.shaping.space import Space
from refledge.study import Study
from tests.shaping.conftest import QUICK, laid_out
from tests.voxels.test_overhang import hanging


@pytest.fixture(scope="module")
def standing(study: Study, space: Space, stand: Stand) -> Shaped:
    with laid_out(space, stand):
        return shape_arm(study, replace(QUICK, support_free=True))


def leaning(study: Study, shaped: Shaped) -> float:
    """m2 of underside past 50 degrees and more than two voxels off the bed, z downwards there.

    50 since smoothed stairs of 45 wave about it; below two voxels smoothing rounds the bed's edge.
    """
    mesh = printable(shaped.grown, least_wall(study.brief.printer)).mesh
    a, b, c = (mesh.vertices[mesh.triangles[:, k]] for k in range(3))
    twice = np.cross(b - a, c - a)
    size = np.linalg.norm(twice, axis=1)
    high = mesh.vertices[:, 2].max() - 2 * shaped.grown.grid.spacing
    over = (twice[:, 2] > np.sin(np.radians(50)) * size) & ((a + b + c)[:, 2] / 3 < high)
    return float(size[over].sum()) / 2


def test_no_voxel_hangs_and_little_leans(
    study: Study, shaped: Shaped, standing: Shaped, space: Space
) -> None:
    assert bed_of(study).start == "high"  # top face down
    grown = standing.grown
    stands = crisp(grown.density, space, bed_of(study))
    over = hanging(stands[:, :, ::-1])[:, :, ::-1]
    assert not (over & ~space.keep).any()
    assert (stands & ~space.keep & ~space.void).any()
    now, free = leaning(study, standing), leaning(study, shaped)
    assert now < 0.4 * free
    assert standing.after.of(standing.flight).deflection < (
        0.8 * standing.before.of(standing.flight).deflection
    )


def test_crisp_drops_what_hangs(study: Study, space: Space) -> None:
    density = (~space.void).astype(float)
    around = (slice(49, 52), slice(0, 3), slice(3, 5))
    assert not (space.keep | space.void)[around].any()
    gap = density.copy()
    gap[around] = 0.0
    found = crisp(gap, space, bed_of(study))
    assert not found[50, 1, 2]  # above the gap as it lies on the bed
    assert crisp(gap, space)[50, 1, 2]


def test_an_arm_printed_on_its_side_cannot_be_grown_to_stand(study: Study) -> None:
    side = np.array([[1.0, 0.0, 0.0], [0.0, 0.0, -1.0], [0.0, 1.0, 0.0]])
    parts = tuple(
        replace(each, print_rotation=side) if each.key == "arm" else each for each in study.parts
    )
    with pytest.raises(AnalysisError, match="not square"):
        bed_of(replace(study, parts=parts))
