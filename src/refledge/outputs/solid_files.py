"""Files of the solid verification: fields for a viewer, coloured pictures, one table."""

import json
from typing import Final

import numpy as np

from refledge.outputs.colours import colour_scale
from refledge.outputs.gltf import coloured_glb_bytes
from refledge.outputs.layer import Body
from refledge.outputs.legend import with_legend
from refledge.outputs.record import plain, rounded
from refledge.outputs.render import picture, png_bytes
from refledge.verify.results import PartVerified, Verified

_LEGEND: Final = 150  # pixels of ground at the left, so that the legend covers no part
_VIEW: Final = (-58.0, 30.0, 760, 480)


def solid_pictures(found: Verified) -> dict[str, bytes]:
    """File stem to PNG: every part coloured by its use of strength in its worst load cases."""
    return {f"solid-{part.key}": _picture(part) for part in found.parts}


def solid_glb(part: PartVerified, version: str) -> bytes:
    """The part's surface coloured by its use of strength; the scale ends at 100 % or the worst."""
    top = max(1.0, float(part.use.max()))
    return coloured_glb_bytes(part.surface, colour_scale(part.use / top), part.key, version)


def _picture(part: PartVerified) -> bytes:
    most = float(part.use.max())
    top = max(1.0, most)
    azimuth, elevation, width, height = _VIEW
    body = Body(part.surface, (0.6, 0.6, 0.6), scalars=part.use / top)
    pixels = picture([body], np.deg2rad(azimuth), np.deg2rad(elevation), width, height)
    beside = np.pad(pixels, ((0, 0), (_LEGEND, 0), (0, 0)), mode="edge")
    return png_bytes(with_legend(beside, "use of strength", "0 %", f"{top:.0%}"))


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
