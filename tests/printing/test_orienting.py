"""Poses: plain bodies whose best way to lie can be told by eye, and stress that forbids it."""

import numpy as np
import pytest
import trimesh

from refledge.analysis.strength import interlayer_use
from refledge.model.printer import Printer
from refledge.model.results import TriMesh
from refledge.model.wishes import FrameWish
from refledge.printing.bed import about_z
from refledge.printing.orienting import (
    Facing,
    Fibre,
    figures_as_laid,
    layer_use,
    poses,
    score_poses,
)

PRINTER = Printer(bed_length=0.25, bed_width=0.21, height=0.2, filaments=("PLA",))
UPRIGHT = np.array([[0.0, 0.0, -1.0], [0.0, 1.0, 0.0], [1.0, 0.0, 0.0]])
"""Part x becomes up."""


def _bar() -> TriMesh:
    """120 x 20 x 8 mm along x."""
    body = trimesh.creation.box((0.12, 0.02, 0.008))
    return TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))


def _pulled(stress: float) -> list[Fibre]:
    return [Fibre(np.array([1.0, 0.0, 0.0]), stress, 0.0, 20e6, 12e6, "pull")]


def _named(scores: list, label: str) -> object:  # type: ignore[type-arg]
    return next(score for score in scores if score.label == label)


def test_axial_pull_is_all_tension_upright_and_none_lying() -> None:
    fibres = _pulled(10e6)
    assert layer_use(fibres, np.array([1.0, 0.0, 0.0])) == pytest.approx(0.5)
    assert layer_use(fibres, np.array([0.0, 0.0, 1.0])) == pytest.approx(0.0)
    slant = np.array([1.0, 0.0, 1.0]) / 2**0.5
    assert layer_use(fibres, slant) == pytest.approx(float(interlayer_use(5e6, 5e6, 20e6, 12e6)))


def test_a_bar_lies_flat_rather_than_stands() -> None:
    scores = score_poses(_bar(), UPRIGHT, [], [], FrameWish(), PRINTER)
    assert scores[0].size[2] == pytest.approx(0.008, abs=1e-6)
    assert scores[0].support.area == 0.0
    assert scores[0].cost < _named(scores, "as sized").cost  # type: ignore[attr-defined]


def test_a_pose_that_breaks_between_layers_comes_last() -> None:
    scores = score_poses(_bar(), UPRIGHT, _pulled(30e6), [], FrameWish(), PRINTER)
    assert scores[-1].layer_use > 1.0
    assert scores[0].layer_use < 1.0


def test_layers_as_sized_are_told_from_others() -> None:
    scores = score_poses(_bar(), np.eye(3), [], [], FrameWish(), PRINTER)
    flat = [score for score in scores if score.size[2] == pytest.approx(0.008, abs=1e-6)]
    assert all(score.as_sized for score in flat)
    assert all(abs(score.rotation[2, 2]) > 0.999 for score in flat)


@pytest.mark.parametrize("sides", [4, 6, 7])
def test_every_pose_has_the_smallest_box_of_all_whole_turns(sides: int) -> None:
    """Against every corner at every degree; prisms, whose sides give turns that are equal."""
    body = trimesh.creation.cylinder(0.03, 0.02, sections=sides).subdivide()
    body.vertices *= 1.0 + 1e-3 * np.sin(40 * body.vertices[:, [2]])
    mesh = TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))
    for label, rotation in poses(mesh, np.eye(3)):
        posed = mesh.vertices @ rotation.T
        boxes = [
            float(np.prod(np.ptp(posed @ about_z(np.radians(turn)).T, axis=0)[:2]))
            for turn in range(90)
        ]
        assert boxes[0] == pytest.approx(min(boxes), rel=1e-12), label


def test_one_pose_is_timed_as_among_others_with_its_support() -> None:
    """A table on one leg: half of it hangs in the air."""
    body = trimesh.creation.box((0.01, 0.01, 0.02)).union(
        trimesh.creation.box((0.06, 0.06, 0.004), trimesh.transformations.translation_matrix(
            (0, 0, 0.012)
        ))
    )  # fmt: skip
    mesh = TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))
    scores = score_poses(mesh, np.eye(3), [], [], FrameWish(), PRINTER)
    wanted = _named(scores, "as sized").figures  # type: ignore[attr-defined]
    assert figures_as_laid(mesh, np.eye(3), FrameWish(), PRINTER) == wanted
    assert wanted.support > 0.0


def test_a_part_that_does_not_fit_the_bed_says_so() -> None:
    small = Printer(bed_length=0.08, bed_width=0.08, height=0.2, filaments=("PLA",))
    scores = score_poses(_bar(), UPRIGHT, [], [], FrameWish(), small)
    assert scores[0].fits
    lying = score_poses(_bar(), np.eye(3), [], [], FrameWish(), small)
    assert not _named(lying, "as sized").fits  # type: ignore[attr-defined]


def test_a_mating_face_on_support_is_dearer() -> None:
    tilted = np.array([[1.0, 0.0, 0.0], [0.0, 0.8, 0.6], [0.0, -0.6, 0.8]])
    face = [Facing(np.array([0.0, 0.0, -1.0]), 1e-4)]
    bare = _named(score_poses(_bar(), tilted, [], [], FrameWish(), PRINTER), "as sized")
    marred = _named(score_poses(_bar(), tilted, [], face, FrameWish(), PRINTER), "as sized")
    assert marred.scarred == 1.0  # type: ignore[attr-defined]
    assert marred.cost == pytest.approx(1.5 * bare.cost)  # type: ignore[attr-defined]


def test_every_hull_face_that_bears_the_part_is_tried() -> None:
    """A box stands on its six faces; opposite ones count, one of them is the pose given."""
    down = {tuple(np.round(rotation[2], 3) + 0.0) for _, rotation in poses(_bar(), np.eye(3))}
    axes = {tuple(sign * axis + 0.0) for axis in np.eye(3) for sign in (1, -1)}
    assert axes <= down


def test_a_leaning_tower_does_not_stand_on_its_foot() -> None:
    """Sheared so far that its middle hangs beyond the foot: the foot is no candidate."""
    body = trimesh.creation.box((0.01, 0.01, 0.06))
    body.vertices[:, 0] += 0.5 * body.vertices[:, 2]
    mesh = TriMesh(np.asarray(body.vertices, float), np.asarray(body.faces, np.int64))
    faces = [r for label, r in poses(mesh, UPRIGHT) if label.startswith("hull")]
    assert all(abs(rotation[2, 2]) < 0.99 for rotation in faces)
