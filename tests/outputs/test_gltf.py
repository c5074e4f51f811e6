"""The assembly file: by the Khronos validator, and by its own numbers."""

import json
import shutil
import struct
import subprocess
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from refledge.study import Study

NODE = Path(__file__).parents[1] / "node"


def _document(path: Path) -> dict[str, Any]:
    data = path.read_bytes()
    (length,) = struct.unpack_from("<I", data, 12)
    found: dict[str, Any] = json.loads(data[20 : 20 + length])
    return found


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
def test_khronos_validator_finds_nothing(built: Path) -> None:
    assert (NODE / "node_modules" / "gltf-validator").is_dir(), "run: npm --prefix tests/node ci"
    done = subprocess.run(
        ["node", "validate.mjs", str(built / "assembly.glb")],
        cwd=NODE, capture_output=True, text=True, check=True, timeout=60,
    )  # fmt: skip
    issues = json.loads(done.stdout)["issues"]
    assert issues["messages"] == []


def test_every_placement_is_a_named_node(built: Path, study: Study) -> None:
    nodes = _document(built / "assembly.glb")["nodes"]
    assert [node["name"] for node in nodes[1:]] == [p.name for p in study.assembly.placements]


def test_up_is_y_and_the_nose_points_along_z(built: Path) -> None:
    root = np.array(_document(built / "assembly.glb")["nodes"][0]["matrix"]).reshape(4, 4).T
    nose, left, up = (root[:3, :3] @ axis for axis in np.eye(3))
    assert nose.tolist() == [0, 0, 1]
    assert left.tolist() == [1, 0, 0]
    assert up.tolist() == [0, 1, 0]
    assert np.linalg.det(root[:3, :3]) == pytest.approx(1)


def test_a_node_puts_its_body_where_the_placement_says(built: Path, study: Study) -> None:
    nodes = {node["name"]: node for node in _document(built / "assembly.glb")["nodes"]}
    place = next(p for p in study.assembly.placements if p.name == "arm 2")
    matrix = np.array(nodes["arm 2"]["matrix"]).reshape(4, 4).T
    point = np.array([0.3, 0.01, -0.002])
    moved = place.rotation @ point + place.translation
    assert matrix @ [*point, 1] == pytest.approx([*moved, 1])


def test_discs_are_see_through_and_parts_are_not(built: Path) -> None:
    modes = {m["name"]: m.get("alphaMode") for m in _document(built / "assembly.glb")["materials"]}
    assert modes["disc disc"] == "BLEND"
    assert modes["part arm"] is None
