"""Files of the solid verification: fields for a viewer, coloured pictures, one table."""

import json
from typing import Final

import numpy as np

from refledge.model.results import TriMesh
from refledge.outputs.colours import colour_scale
from refledge.outputs.gltf import coloured_glb_bytes
from refledge.outputs.layer import Body
from refledge.outputs.legend import with_legend
from refledge.outputs.record import plain, rounded
from refledge.outputs.render import picture, png_bytes
from refledge.typed import Floats
from refledge.verify.results import PartVerified, Verified

_LEGEND: Final = 150  # pixels of ground at the left, so that the legend covers no part
_MOVED: Final = 0.06  # of the part's length, so that a twist is seen and nothing is torn
_VIEW: Final = (-58.0, 30.0, 760, 480)


def solid_pictures(found: Verified) -> dict[str, bytes]:
    """File stem to PNG: every part coloured by its use of strength in its worst load cases, and
    how those buckle that are looked at for it."""
    shown = {f"solid-{part.key}": _picture(part) for part in found.parts}
    for part in filter(buckles, found.parts):
        surface, share = _buckled(part)
        shown[f"buckled-{part.key}"] = _drawn(
            surface, share, "moves", "not", "most", below=_low(surface, share)
        )
    return shown


def solid_glb(part: PartVerified, version: str) -> bytes:
    """The part's surface coloured by its use of strength; the scale ends at 100 % or the worst."""
    top = max(1.0, float(part.use.max()))
    return coloured_glb_bytes(part.surface, colour_scale(part.use / top), part.key, version)


def buckled_glb(part: PartVerified, version: str) -> bytes:
    """The part as it buckles, enlarged, coloured by how far it moves."""
    surface, share = _buckled(part)
    return coloured_glb_bytes(surface, colour_scale(share), f"{part.key} buckled", version)


def buckles(part: PartVerified) -> bool:
    """Whether there is a shape to show."""
    return part.buckled is not None and not part.buckled.why


def _buckled(part: PartVerified) -> tuple[TriMesh, Floats]:
    """The surface moved by ``_MOVED`` of its length at most, and each vertex's share of that."""
    assert part.buckled is not None  # only asked for where it buckles
    moved, surface = part.buckled.moved, part.surface
    scale = _MOVED * float(np.ptp(surface.vertices, axis=0).max())
    share = np.linalg.norm(moved, axis=1)
    shown = TriMesh(surface.vertices + scale * moved, surface.triangles)
    return shown, np.asarray(share / share.max())


def _low(surface: TriMesh, share: Floats) -> bool:
    """Whether what moves lies in the lower half, and is seen from below."""
    height = surface.vertices[:, 2]
    return float(np.average(height, weights=share**2)) < float(height.min() + height.max()) / 2


def _picture(part: PartVerified) -> bytes:
    top = max(1.0, float(part.use.max()))
    return _drawn(part.surface, part.use / top, "use of strength", "0 %", f"{top:.0%}")


def _drawn(
    surface: TriMesh, share: Floats, title: str, least: str, most: str, *, below: bool = False
) -> bytes:
    azimuth, elevation, width, height = _VIEW
    elevation = -elevation if below else elevation
    body = Body(surface, (0.6, 0.6, 0.6), scalars=share)
    pixels = picture([body], np.deg2rad(azimuth), np.deg2rad(elevation), width, height)
    beside = np.pad(pixels, ((0, 0), (_LEGEND, 0), (0, 0)), mode="edge")
    return png_bytes(with_legend(beside, title, least, most))


def solid_record(found: Verified) -> str:
    """solid.json: every figure of every part, SI."""
    parts = [
        {
            "part": part.key,
            "unknowns": part.dofs,
            "edge_lengths_m": [rounded(size) for size in part.sizes],
            "figures": plain(part.figures),
            "hot_spots": plain(part.spots),
        }
        for part in found.parts
    ]
    whole = plain(found.whole) if found.whole is not None else None
    told = {"airframe": whole, "parts": parts, "not_solved": [list(each) for each in found.failed]}
    return json.dumps(told, indent=1, sort_keys=True, ensure_ascii=False) + "\n"
