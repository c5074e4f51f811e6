"""Pictures of a grown arm: growing, from its side, beside the present one, and its history."""

import io
from pathlib import Path

import numpy as np
from PIL import Image

from refledge.model.results import TriMesh
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import Scale, axis_below, round_up
from refledge.outputs.layer import Body
from refledge.outputs.palette import rgb_of
from refledge.outputs.render import picture, png_bytes
from refledge.shaping.result import Result
from refledge.typed import Floats
from refledge.whole import write_whole

_ENLARGED = 3  # pixels for each voxel
_MARGIN = 12  # pixels round the picture
_PAPER, _PLASTIC = np.array([250.0, 249.0, 245.0]), np.array([35.0, 74.0, 100.0])
_VIEWS = {"above": (-58.0, 28.0), "below": (-58.0, -32.0)}
"""Azimuth and elevation, deg."""
_WIDTH, _HEIGHT = 860.0, 300.0


def growing_png(side: Floats, path: Path) -> Path:
    """The density from its side (nx, nz), 0 to 1, root at the left; written whole."""
    share = np.clip(side.T[::-1, :, None], 0.0, 1.0)
    pixels = np.round(_PAPER + share * (_PLASTIC - _PAPER)).astype(np.uint8)
    large = pixels.repeat(_ENLARGED, axis=0).repeat(_ENLARGED, axis=1)
    framed = np.empty((large.shape[0] + 2 * _MARGIN, large.shape[1] + 2 * _MARGIN, 3), np.uint8)
    framed[:] = _PAPER.astype(np.uint8)
    framed[_MARGIN:-_MARGIN, _MARGIN:-_MARGIN] = large
    out = io.BytesIO()
    Image.fromarray(framed).save(out, "PNG", compress_level=9)
    return write_whole(path, out.getvalue())


def arm_pictures(found: Result) -> dict[str, bytes]:
    """File stem to PNG: the grown arm from above and below, the present one from above."""
    present = found.study.assembly.meshes["arm"]
    made = {f"grown-{name}": _view(found.body.mesh, view) for name, view in _VIEWS.items()}
    return made | {"present": _view(present, _VIEWS["below"])}


def _view(mesh: TriMesh, view: tuple[float, float]) -> bytes:
    azimuth, elevation = np.deg2rad(view)
    return png_bytes(picture([Body(mesh, rgb_of("arm", "part"))], azimuth, elevation, 900, 420))


def history_chart(found: Result) -> str:
    """Weighted compliance over the present arm's and mass, step by step."""
    history, budget = found.shaped.design.history, found.shaped.budget
    whole = found.shaped.whole
    steps = np.arange(1, len(history) + 1)
    values = np.array([step.compliance for step in history])
    masses = np.array([step.mass for step in history]) * whole / budget
    top = round_up(max(1.5, float(np.max(masses))))
    across = Scale(0.0, float(round_up(len(history))), 80.0, 830.0)
    up = Scale(0.0, top, _HEIGHT - 50.0, 34.0)
    items = axis_below(across, 34.0, _HEIGHT - 50.0, "design step")
    for tick in up.ticks(4):
        items.append(svg.line(80.0, up(tick), 830.0, up(tick), "grid"))
        items.append(svg.text(70.0, up(tick) + 4, f"{100 * tick:.0f} %", "soft", "end"))
    for row, kind in ((values, "line"), (masses, "line second")):
        shown = [
            (across(x), up(min(y, top))) for x, y in zip(steps.tolist(), row.tolist(), strict=True)
        ]
        items.append(svg.polyline(shown, kind))
    items += [
        svg.line(80.0, 14.0, 110.0, 14.0, "line"),
        svg.text(118.0, 18.0, "give under load, over the present arm's"),
        svg.line(420.0, 14.0, 450.0, 14.0, "line second"),
        svg.text(458.0, 18.0, "mass, over what is allowed"),
    ]
    return svg.chart(_WIDTH, _HEIGHT, "How the arm grew", items)
