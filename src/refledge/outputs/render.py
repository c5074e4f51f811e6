"""Pictures of solids: shaded surfaces with drawn edges, on a quiet ground, by numpy alone."""

import io
from collections.abc import Sequence

import numpy as np
from PIL import Image

from refledge.model.results import Assembly
from refledge.outputs.camera import Camera, looking
from refledge.outputs.layer import Body, Layer, drawn
from refledge.outputs.palette import DISC_OPACITY, rgb_of
from refledge.typed import Floats

Pixels = np.ndarray[tuple[int, ...], np.dtype[np.uint8]]

_FINE = 2  # pixels drawn for each pixel kept, along each side
_GROUND_TOP = np.array([0.975, 0.975, 0.965])
_GROUND_FOOT = np.array([0.905, 0.915, 0.915])
_INK = np.array([0.13, 0.16, 0.18])


def placed_bodies(assembly: Assembly) -> list[Body]:
    """Every placement of an assembly as a body in body axes."""
    return [
        Body(
            assembly.meshes[each.key],
            rgb_of(each.key, each.group),
            DISC_OPACITY if each.group == "disc" else 1.0,
            rotation=each.rotation,
            translation=each.translation,
        )
        for each in assembly.placements
    ]


def picture(
    bodies: Sequence[Body], azimuth: float, elevation: float, width: int, height: int
) -> Pixels:
    """(height, width, 3) picture of ``bodies`` from ``azimuth`` and ``elevation``, rad."""
    points = np.concatenate([body.vertices for body in bodies])
    fine = (_FINE * width, _FINE * height)
    camera = looking(azimuth, elevation, points, *fine)
    solid = [body for body in bodies if body.opacity >= 1.0]
    clear = [body for body in bodies if body.opacity < 1.0]
    colour, depth = _ground(*fine), np.full(fine[::-1], np.inf)
    if solid:
        _paint_solid(colour, depth, drawn(solid, camera, *fine))
    for body in _far_to_near(clear, camera):
        _paint_clear(colour, depth, drawn([body], camera, *fine), body)
    return _reduced(colour)


def _paint_solid(colour: Floats, depth: Floats, layer: Layer) -> None:
    within = layer.window
    colour[within][layer.hit] = layer.colour
    colour[within][layer.edges()] = _INK
    depth[within] = layer.seen.depth


def _paint_clear(colour: Floats, depth: Floats, layer: Layer, body: Body) -> None:
    """Mix a see-through body over what stands behind it."""
    part, behind = colour[layer.window], layer.seen.depth <= depth[layer.window]
    shown = behind[layer.hit]
    there = layer.hit & behind
    part[there] += body.opacity * (layer.colour[shown] - part[there])
    rim = layer.edges() & behind
    part[rim] += 0.5 * (0.6 * np.array(body.rgb) - part[rim])


def png_bytes(pixels: Pixels) -> bytes:
    """A picture as PNG; the same pixels give the same bytes."""
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG", optimize=False, compress_level=9)
    return out.getvalue()


def _ground(width: int, height: int) -> Floats:
    share = np.linspace(0.0, 1.0, height)[:, None, None]
    row = _GROUND_TOP + share * (_GROUND_FOOT - _GROUND_TOP)
    return np.broadcast_to(row, (height, width, 3)).copy()


def _far_to_near(bodies: Sequence[Body], camera: Camera) -> list[Body]:
    return sorted(bodies, key=lambda body: -float((body.vertices @ camera.forward).mean()))


def _reduced(colour: Floats) -> Pixels:
    height, width = colour.shape[0] // _FINE, colour.shape[1] // _FINE
    mean = colour.reshape(height, _FINE, width, _FINE, 3).mean(axis=(1, 3))
    pixels: Pixels = np.round(255 * np.clip(mean, 0, 1)).astype(np.uint8)
    return pixels
