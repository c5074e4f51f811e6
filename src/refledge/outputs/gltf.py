"""The assembly as glTF 2.0 binary (Khronos, ISO/IEC 12113): one named node per placement.

Units are m. glTF looks along +z with +y up, so nose, left, up become z, x, y in the root node.
"""

import json
import struct
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from refledge.model.results import Assembly, Placement, TriMesh
from refledge.outputs.normals import corner_normals, face_normals
from refledge.outputs.palette import DISC_OPACITY, linear, linear_all, rgb_of
from refledge.typed import Floats, Ints, Json

# Columns of the root matrix: body x to glTF z, y to x, z to y.
_BODY_TO_GLTF: Final = (0, 0, 1, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 1)
_FLOAT, _UINT = 5126, 5125
_ARRAY_BUFFER, _ELEMENT_BUFFER = 34962, 34963
_MAGIC, _JSON_CHUNK, _BIN_CHUNK = 0x46546C67, 0x4E4F534A, 0x004E4942


@dataclass
class _Buffer:
    """The binary chunk while it grows, with its views and accessors."""

    data: bytearray = field(default_factory=bytearray)
    views: list[Json] = field(default_factory=list)
    accessors: list[Json] = field(default_factory=list)

    def add(self, array: np.ndarray, target: int, accessor: dict[str, Json]) -> int:
        """Append an array of 4-byte values; the index of its accessor."""
        raw = array.tobytes()
        self.views.append(
            {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target}
        )
        self.data += raw
        self.accessors.append({"bufferView": len(self.views) - 1, **accessor})
        return len(self.accessors) - 1


def glb_bytes(assembly: Assembly, title: str, version: str) -> bytes:
    """The whole assembly, bodies shared between the places where they stand."""
    buffer = _Buffer()
    looks = {each.key: each.group for each in assembly.placements}
    keys = sorted(looks)
    document = {
        "asset": {"version": "2.0", "generator": f"Refledge {version}"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": [0]}],
        "nodes": _nodes(assembly.placements, keys),
        "meshes": [
            _mesh(buffer, key, assembly.meshes[key], material) for material, key in enumerate(keys)
        ],
        "materials": [_material(key, looks[key]) for key in keys],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    return _container(document, bytes(buffer.data))


def coloured_glb_bytes(mesh: TriMesh, colours: Floats, title: str, version: str) -> bytes:
    """One surface with a colour (n_vertices, 3) sRGB, 0 to 1, at every vertex."""
    buffer = _Buffer()
    shades = linear_all(colours)
    attributes = {
        "POSITION": buffer.add(
            mesh.vertices.astype("<f4"), _ARRAY_BUFFER, _position_accessor(mesh.vertices)
        ),
        "COLOR_0": buffer.add(
            shades.astype("<f4"),
            _ARRAY_BUFFER,
            {"componentType": _FLOAT, "count": len(shades), "type": "VEC3"},
        ),
    }
    indices = buffer.add(
        mesh.triangles.ravel().astype("<u4"),
        _ELEMENT_BUFFER,
        {"componentType": _UINT, "count": mesh.triangles.size, "type": "SCALAR"},
    )
    document = {
        "asset": {"version": "2.0", "generator": f"Refledge {version}"},
        "scene": 0,
        "scenes": [{"name": title, "nodes": [0]}],
        "nodes": [{"name": title, "matrix": list(_BODY_TO_GLTF), "mesh": 0}],
        "meshes": [{"primitives": [{"attributes": attributes, "indices": indices, "material": 0}]}],
        "materials": [{"name": "result", "doubleSided": True}],
        "accessors": buffer.accessors,
        "bufferViews": buffer.views,
        "buffers": [{"byteLength": len(buffer.data)}],
    }
    return _container(document, bytes(buffer.data))


def _nodes(placements: tuple[Placement, ...], keys: list[str]) -> list[Json]:
    children = list(range(1, len(placements) + 1))
    root = {"name": "airframe", "matrix": list(_BODY_TO_GLTF), "children": children}
    return [root, *(_node(each, keys.index(each.key)) for each in placements)]


def _node(place: Placement, mesh: int) -> Json:
    matrix = np.eye(4)
    matrix[:3, :3] = place.rotation
    matrix[:3, 3] = place.translation
    return {
        "name": place.name,
        "mesh": mesh,
        "matrix": (np.round(matrix.T.ravel(), 12) + 0.0).tolist(),
        "extras": {"group": place.group, "key": place.key},
    }


def _mesh(buffer: _Buffer, key: str, mesh: TriMesh, material: int) -> Json:
    positions, normals, indices = _split_at_creases(mesh)
    primitive = {
        "attributes": {
            "POSITION": buffer.add(
                positions.astype("<f4"), _ARRAY_BUFFER, _position_accessor(positions)
            ),
            "NORMAL": buffer.add(
                normals.astype("<f4"),
                _ARRAY_BUFFER,
                {"componentType": _FLOAT, "count": len(normals), "type": "VEC3"},
            ),
        },
        "indices": buffer.add(
            indices.astype("<u4"),
            _ELEMENT_BUFFER,
            {"componentType": _UINT, "count": indices.size, "type": "SCALAR"},
        ),
        "material": material,
        "mode": 4,
    }
    return {"name": key, "primitives": [primitive]}


def _position_accessor(positions: Floats) -> dict[str, Json]:
    single = positions.astype("<f4")
    return {
        "componentType": _FLOAT,
        "count": len(single),
        "type": "VEC3",
        "min": [float(v) for v in single.min(axis=0)],
        "max": [float(v) for v in single.max(axis=0)],
    }


def _split_at_creases(mesh: TriMesh) -> tuple[Floats, Floats, Ints]:
    """Vertices doubled where faces meet at a crease: (n, 3) m, (n, 3) normals, (m, 3) indices."""
    solid = np.linalg.norm(face_normals(mesh), axis=1) > 0
    normals = np.round(corner_normals(mesh)[solid], 6)
    corners = mesh.triangles[solid]
    keyed = np.column_stack([corners.reshape(-1, 1), normals.reshape(-1, 3)])
    unique, inverse = np.unique(keyed, axis=0, return_inverse=True)
    positions = mesh.vertices[unique[:, 0].astype(np.int64)]
    lengths = np.linalg.norm(unique[:, 1:], axis=1, keepdims=True)
    return positions, unique[:, 1:] / lengths, inverse.reshape(-1, 3)


def _material(key: str, group: str) -> Json:
    colour = [round(c, 4) for c in linear(rgb_of(key, group))]
    opacity = DISC_OPACITY if group == "disc" else 1.0
    material: dict[str, Json] = {
        "name": f"{group} {key}",
        "pbrMetallicRoughness": {
            "baseColorFactor": [*colour, opacity],
            "metallicFactor": 0.0,
            "roughnessFactor": 0.55 if group == "item" else 0.8,
        },
    }
    if group == "disc":
        material |= {"alphaMode": "BLEND", "doubleSided": True}
    return material


def _container(document: Json, data: bytes) -> bytes:
    text = json.dumps(document, sort_keys=True, allow_nan=False, ensure_ascii=False).encode()
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    size = 12 + 8 + len(text) + 8 + len(data)
    return b"".join(
        [
            struct.pack("<III", _MAGIC, 2, size),
            struct.pack("<II", len(text), _JSON_CHUNK),
            text,
            struct.pack("<II", len(data), _BIN_CHUNK),
            data,
        ]
    )
