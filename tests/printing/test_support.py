"""Support: bodies whose overhangs can be told by eye."""

import numpy as np
import pytest
import trimesh

from refledge.model.results import TriMesh
from refledge.printing.support import DENSITY, find_support

STEP = 5e-4


def _box(size: tuple[float, float, float], at: tuple[float, float, float]) -> trimesh.Trimesh:
    """A box whose least corner is ``at``, m."""
    body = trimesh.creation.box(size)
    body.apply_translation(np.array(at) + np.array(size) / 2)
    return body


def _joined(*bodies: trimesh.Trimesh) -> TriMesh:
    body = trimesh.boolean.union(bodies, engine="manifold")
    return TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))


def _table(span: float) -> TriMesh:
    """Two walls 20 mm tall, ``span`` m apart, under a plate that ends flush with them."""
    return _joined(
        _box((0.004, 0.03, 0.02), (0.0, 0.0, 0.0)),
        _box((0.004, 0.03, 0.02), (0.004 + span, 0.0, 0.0)),
        _box((0.008 + span, 0.03, 0.004), (0.0, 0.0, 0.0195)),
    )


def test_short_span_bridges_and_a_long_one_is_held_up() -> None:
    assert find_support(_table(0.02), STEP).area == 0.0
    long = find_support(_table(0.04), STEP)
    assert long.area == pytest.approx(0.04 * 0.03, rel=0.03)
    assert long.plastic == pytest.approx(DENSITY * 0.04 * 0.03 * 0.0195, rel=0.03)


def test_short_shelf_hangs_on_one_side_and_needs_support() -> None:
    shelf = _joined(
        _box((0.01, 0.03, 0.02), (0.0, 0.0, 0.0)), _box((0.016, 0.03, 0.004), (0.0, 0.0, 0.0195))
    )
    assert find_support(shelf, STEP).area == pytest.approx(0.006 * 0.03, rel=0.05)


@pytest.mark.parametrize(("lean", "needs"), [(40.0, False), (50.0, True)])
def test_leaning_underside(lean: float, needs: bool) -> None:
    """A slab leaning ``lean`` degrees from upright."""
    slab = trimesh.creation.box((0.01, 0.03, 0.08))
    slab.apply_transform(trimesh.transformations.rotation_matrix(np.radians(lean), (0, 1, 0)))
    slab.apply_translation((0, 0, -slab.bounds[0, 2]))
    mesh = TriMesh(np.asarray(slab.vertices, float), np.asarray(slab.faces, np.int64))
    sine = np.sin(np.radians(lean))
    held = 0.08 * sine * 0.03 if needs else 0.0  # the long underside, seen from above
    end = 0.01 * np.cos(np.radians(lean)) * 0.03 if lean < 45.0 else 0.0  # the low end face
    assert find_support(mesh, STEP).area == pytest.approx(held + end, rel=0.06)


def test_a_block_on_the_bed_needs_none() -> None:
    assert find_support(_joined(_box((0.03, 0.02, 0.01), (0, 0, 0))), STEP).area == 0.0


def test_support_stands_on_the_part_below() -> None:
    """A shelf over a floor: only the room between them is filled."""
    body = _joined(
        _box((0.04, 0.03, 0.01), (0.0, 0.0, 0.0)),
        _box((0.005, 0.03, 0.03), (0.0, 0.0, 0.0)),
        _box((0.04, 0.03, 0.004), (0.0, 0.0, 0.0295)),
    )
    found = find_support(body, STEP)
    assert found.plastic == pytest.approx(DENSITY * 0.035 * 0.03 * 0.0195, rel=0.03)
