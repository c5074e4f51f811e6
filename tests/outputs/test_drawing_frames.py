"""Drawings, STEP and triangles of every part of frames of all families, real solids throughout."""

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from refledge.geometry import kernel
from refledge.geometry.features import part_features
from refledge.geometry.kernel.library import parts_of
from refledge.geometry.named import Bore
from refledge.geometry.parts import PART_NAMES
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.outputs.drawing.sheet import part_sheet
from refledge.outputs.drawing.template import template_sheets
from tests.geometry.frames import HARDWARE, arm, frame, layout, solids, tube_arm
from tests.geometry.splits import split_frame
from tests.outputs.drawing_parts import leaving, overlaps, spec_of
from tests.outputs.test_urdf import _SECOND_KERNEL

pytestmark = pytest.mark.slow
FRAMES = {
    "box": ("six-x", frame(6)),
    "channel": ("four-plus", frame(4, arm("channel"))),
    "truss-pairs": ("three-pairs", frame(3, arm("truss"), 2)),
    "tube": ("six-x", frame(6, tube_arm())),
    "split": ("six-x", split_frame("box")),
}


def bodies(name: str) -> tuple[FrameDesign, Layout, dict[str, kernel.Solid]]:
    kind, design = FRAMES[name]
    return design, layout(kind, design), dict(solids(kind, design))


@pytest.mark.parametrize("name", FRAMES)
def test_every_sheet_keeps_its_texts_apart_and_inside(name: str) -> None:
    _, _, found = bodies(name)
    for key, solid in found.items():
        spec, mesh = spec_of(solid, key)
        spec = replace(spec, name=PART_NAMES[key])
        sheets = [part_sheet(spec, solid, mesh, "PETG", "test", (1, 1), "0.1.0")]
        sheets += template_sheets(spec, solid, "test")
        for sheet in sheets:
            assert overlaps(sheet) == [], sheet.key
            assert leaving(sheet) == [], sheet.key


@pytest.mark.parametrize("name", FRAMES)
def test_named_bores_are_found_in_the_solid(name: str) -> None:
    """What analysis calls a bore, the drawing finds as a round hole on the same axis and radius."""
    design, places, found = bodies(name)
    for key, solid in found.items():
        holes = [r for r in kernel.rounds(solid) if r.hollow]
        for called, feature in part_features(key, design, HARDWARE, places).items():
            if isinstance(feature, Bore):
                assert any(_same(feature, hole) for hole in holes), f"{key}: {called}"


def _same(bore: Bore, hole: kernel.Round) -> bool:
    way, gap = np.array(bore.axis), np.array(bore.centre) - hole.centre
    off = np.linalg.norm(gap - (gap @ way) * way)
    along = abs(float(gap @ way)) <= (bore.length + hole.length) / 2
    parallel = abs(float(way @ hole.axis)) > 1 - 1e-9
    return bool(parallel and off < 1e-7 and along and abs(hole.radius - bore.radius) < 1e-7)


@pytest.mark.parametrize("name", FRAMES)
def test_triangles_weigh_what_the_solid_does(name: str) -> None:
    """An independent mesh library: volume and inertia to 0.1 %, centre to 0.1 % of the size.

    Triangles finer than those of the files: chords of 0.05 rad lose 0.04 % of a round (a^2 / 6).
    """
    for key, solid in bodies(name)[2].items():
        own, found = kernel.moments(solid), kernel.tessellate(solid, 1e-5, 0.05)
        mesh = trimesh.Trimesh(found.vertices, found.triangles)
        size = float(np.ptp(found.vertices, axis=0).max())
        assert mesh.is_watertight, key
        assert mesh.volume == pytest.approx(own.size, rel=1e-3), key
        assert mesh.center_mass == pytest.approx(own.centroid, abs=1e-3 * size), key
        principal = np.linalg.eigvalsh(mesh.moment_inertia)
        assert principal == pytest.approx(np.linalg.eigvalsh(own.second), rel=1e-3), key


@pytest.mark.parametrize("name", FRAMES)
def test_a_second_kernel_reads_every_part(name: str, tmp_path: Path) -> None:
    found = bodies(name)[2]
    paths = [tmp_path / f"{key}.step" for key in found]
    for path, (key, solid) in zip(paths, found.items(), strict=True):
        kernel.write_step({key: solid}, path, colours={key: (0.2, 0.4, 0.6)})
    answer = subprocess.run(
        [sys.executable, "-c", _SECOND_KERNEL, *map(str, paths)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    read = json.loads(answer.stdout.splitlines()[-1])
    for (key, solid), (size, faces) in zip(found.items(), read, strict=True):
        assert size * 1e-9 == pytest.approx(kernel.volume(solid), rel=1e-6), key
        assert faces == len(parts_of(solid.shape, "FACE")), key
