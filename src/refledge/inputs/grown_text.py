"""A grown arm as files: ``arm.toml`` with every figure in SI, ``arm.ply`` with its surface."""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import fields
from typing import Any

import numpy as np

from refledge.model.grown import LOADS, ArmInterface, GrownArm, GrownPlastic, PrintedAs
from refledge.model.results import TriMesh

FORMAT = "refledge grown arm 2"
RECORD, SURFACE = "arm.toml", "arm.ply"
TABLES: dict[str, type] = {
    "interface": ArmInterface,
    "plastic": GrownPlastic,
    "printed": PrintedAs,
}
UNITS = ("unit_plastic", "unit_layers", "unit_buckling", "unit_by_hand")
"""Tables with two uses for each of LOADS."""
_NOTE = (
    "# Written by refledge shape --verify; read by refledge design where a brief names it as\n"
    "# frame.grown_arm. Every number in SI, axes of an arm. Not to be changed by hand: the digest\n"
    "# would no longer fit.\n"
)
FACE = np.dtype([("n", "u1"), ("corners", "<i4", 3)])


def grown_files(arm: GrownArm) -> dict[str, bytes]:
    """File name to contents."""
    surface = ply_bytes(arm.mesh)
    body = "\n".join(_lines(arm)) + "\n"
    head = f'format = "{FORMAT}"\ndigest = "{digest_of(body, surface)}"\n'
    return {RECORD: (_NOTE + head + body).encode("utf-8"), SURFACE: surface}


def digest_of(body: str, surface: bytes) -> str:
    """Of all that stands below the digest's own line, and of the surface."""
    return hashlib.sha256(body.encode("utf-8") + surface).hexdigest()


def ply_bytes(mesh: TriMesh) -> bytes:
    """The surface as little-endian binary PLY with full precision, m."""
    head = (
        "ply\nformat binary_little_endian 1.0\n"
        f"element vertex {len(mesh.vertices)}\n"
        "property double x\nproperty double y\nproperty double z\n"
        f"element face {len(mesh.triangles)}\n"
        "property list uchar int vertex_indices\nend_header\n"
    )
    faces = np.empty(len(mesh.triangles), FACE)
    faces["n"], faces["corners"] = 3, mesh.triangles
    return head.encode("ascii") + mesh.vertices.astype("<f8").tobytes() + faces.tobytes()


def _lines(arm: GrownArm) -> Iterator[str]:
    for name in ("title", "version", "how"):
        yield f"{name} = {_said(getattr(arm, name))}"
    yield f"surface = {_said(SURFACE)}"
    for name in ("volume", "area", "support", "at", "give_error", "modes"):
        yield f"{name} = {_said(getattr(arm, name))}"
    yield f"give = {_said(arm.give)}"
    for name in TABLES:
        yield f"\n[{name}]"
        table = getattr(arm, name)
        yield from (f"{each.name} = {_said(getattr(table, each.name))}" for each in fields(table))
    for table in UNITS:
        yield f"\n[{table}]"
        yield from (f"{n} = {_said(v)}" for n, v in zip(LOADS, getattr(arm, table), strict=True))
    for case in arm.cases:
        yield "\n[[cases]]"
        yield from (f"{each.name} = {_said(getattr(case, each.name))}" for each in fields(case))


def _said(value: Any) -> str:
    """A TOML value that reads back as the very same number."""
    if isinstance(value, np.ndarray):
        value = value.tolist()
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(map(_said, value)) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    if isinstance(value, bool):
        return str(value).lower()
    return repr(value if isinstance(value, int) else float(value))
