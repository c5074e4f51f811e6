"""The pictures of a study: the assembly from three sides, and every part as it is printed."""

from collections.abc import Callable
from dataclasses import replace
from typing import Final

import numpy as np

from refledge.geometry.folded import HUNG
from refledge.geometry.folding import fold_places
from refledge.model.results import Assembly
from refledge.outputs.layer import Body
from refledge.outputs.palette import rgb_of
from refledge.outputs.pose import on_bed
from refledge.outputs.render import picture, placed_bodies, png_bytes
from refledge.study import Study

# name: azimuth and elevation of the eye in degrees, width and height in pixels
_VIEWS: Final = {
    "assembly": (-32.0, 27.0, 1200, 800),
    "assembly-top": (180.0, 90.0, 700, 700),
    "assembly-side": (-90.0, 0.0, 700, 420),
}
_FOLDED: Final = (-32.0, 48.0, 900, 640)
_PAYLOAD: Final = "payload"  # its key in the assembly
_PART_VIEW: Final = (-58.0, 34.0, 560, 400)


def pictures(study: Study, progress: Callable[[str], None] = lambda _: None) -> dict[str, bytes]:
    """File stem to PNG bytes; parts are under their own keys."""
    bodies = placed_bodies(without_slung(study))
    found = {}
    for name, view in _VIEWS.items():
        progress(f"picture {name}")
        found[name] = _png(bodies, *view)
    if study.frame.hinge is not None:
        progress("picture assembly-folded")
        found["assembly-folded"] = folded_picture(study)
    for spec in study.parts:
        progress(f"picture {spec.key}")
        body = Body(on_bed(spec, study.assembly.meshes[spec.key]), rgb_of(spec.key, "part"))
        found[f"part-{spec.key}"] = _png([body], *_PART_VIEW)
    return found


def folded_picture(study: Study) -> bytes:
    """PNG of the airframe as it is carried."""
    return _png(placed_bodies(folded(study)), *_FOLDED)


def folded(study: Study) -> Assembly:
    """The assembly as it is carried, arms folded, propellers, battery and payload off."""
    kept = tuple(p for p in study.assembly.placements if p.key not in HUNG)
    return replace(study.assembly, placements=fold_places(study.frame, study.layout, kept))


def without_slung(study: Study) -> Assembly:
    """The assembly without a payload on a line: it hangs so far below that all else shrinks."""
    if not study.brief.payload.slung:
        return study.assembly
    kept = tuple(p for p in study.assembly.placements if p.key != _PAYLOAD)
    return replace(study.assembly, placements=kept)


def _png(bodies: list[Body], azimuth: float, elevation: float, width: int, height: int) -> bytes:
    return png_bytes(picture(bodies, np.deg2rad(azimuth), np.deg2rad(elevation), width, height))
