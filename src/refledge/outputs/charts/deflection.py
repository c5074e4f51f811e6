"""The beam frame under one load case, drawn in parallel projection, displacements enlarged."""

import numpy as np

from refledge.model.results import Deflected
from refledge.outputs.camera import looking
from refledge.outputs.charts import svg
from refledge.outputs.charts.scale import round_step
from refledge.typed import Floats
from refledge.units import show

_WIDTH, _HEIGHT, _HEAD, _FOOT = 460, 320, 26, 64
_SHOWN = 0.12  # the largest displacement is drawn as about this share of the frame's size
_AZIMUTH, _ELEVATION = np.deg2rad(-35.0), np.deg2rad(24.0)


def deflection_chart(deflected: Deflected, title: str) -> str:
    """Unloaded frame dotted, loaded frame solid, with the scale of displacements stated."""
    moved = deflected.displacements[:, :3]
    most = float(np.linalg.norm(moved, axis=1).max())
    scale = enlargement(most, float(np.ptp(deflected.nodes, axis=0).max()))
    bent = deflected.nodes + scale * moved
    both = np.concatenate([deflected.nodes, bent])
    camera = looking(_AZIMUTH, _ELEVATION, both, _WIDTH, _HEIGHT - _HEAD)
    items = [
        *_sticks(camera.project(deflected.nodes), deflected, "ghost"),
        *_sticks(camera.project(bent), deflected, "shape"),
        svg.text(8, 18, title, "strong"),
        *(
            svg.text(8, _HEIGHT + 16 + 18 * k, words, "soft")
            for k, words in enumerate(_captions(deflected, most, scale))
        ),
    ]
    return svg.chart(_WIDTH, _HEIGHT + _FOOT, title, items)


def enlargement(most: float, size: float) -> float:
    """A round factor that draws displacement ``most`` (m) visibly on a frame of ``size`` (m)."""
    return round_step(_SHOWN * size / most) if most > 0 else 1.0


def _sticks(points: Floats, deflected: Deflected, kind: str) -> list[str]:
    return [
        svg.line(points[a, 0], points[a, 1] + _HEAD, points[b, 0], points[b, 1] + _HEAD, kind)
        for a, b in deflected.elements.tolist()
    ]


def _captions(deflected: Deflected, most: float, scale: float) -> tuple[str, str, str]:
    tip, tilt = _largest(deflected.tip_deflection), _largest(deflected.motor_tilt)
    return (
        f"drawn {scale:g} times enlarged; dotted: without load",
        f"furthest moved point {show(most, 'm', 'mm')}",
        f"largest tip deflection {show(tip, 'm', 'mm')}, motor tilt {show(tilt, 'rad', 'deg')}",
    )


def _largest(values: Floats) -> float:
    return float(np.abs(values).max()) if values.size else 0.0
