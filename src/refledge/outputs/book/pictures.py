"""One picture for each step: what is new in a strong tone and lifted off, the rest pale."""

from dataclasses import replace
from typing import Final

import numpy as np
from PIL import Image, ImageDraw

from refledge.model.results import Assembly, Placement
from refledge.outputs.book.stage import DOWN, OUT, UP, Stage
from refledge.outputs.camera import Camera, looking
from refledge.outputs.layer import Body
from refledge.outputs.pictures import without_slung
from refledge.outputs.pose import on_bed
from refledge.outputs.render import picture, png_bytes
from refledge.study import Study
from refledge.typed import Floats

WIDE, HIGH = 900, 560
"""Pixels of a step's picture."""
_PALE: Final = (0.86, 0.87, 0.87)
_STRONG: Final = (0.80, 0.42, 0.13)
"""Half as light as the pale parts, so that black and white print tells them apart."""
_WANTED, _FROM_ABOVE, _FROM_BELOW = -40.0, 30.0, -26.0
_ASIDE = 7.0
"""Degrees from the middle between two arms, so that opposite arms do not hide each other."""
_LIFT: Final = 0.17
"""How far new parts are lifted, over the greatest extent of what is shown. Our choice."""
_PART_VIEW: Final = (-58.0, 34.0, 360, 250)


def stage_picture(study: Study, stage: Stage, done: frozenset[str]) -> bytes:
    """PNG of one step; ``done`` are the keys that are on before it."""
    places = [p for p in without_slung(study).placements if p.group != "disc"]
    if not study.brief.payload.slung and "payload" not in stage.parts:
        places = [p for p in places if p.key != "payload"]
    base_keys = frozenset(stage.base) - set(stage.parts) if stage.base else done
    base = [p for p in places if p.key in base_keys and p.key not in stage.parts]
    new = [p for p in places if p.key in stage.parts]
    if stage.one:
        base, new = _first_of_each(base), _first_of_each(new)
    bodies, home = _bodies(study.assembly, base, _PALE), _bodies(study.assembly, new, _STRONG)
    ways = [_way(body, _side(stage, place)) for body, place in zip(home, new, strict=True)]
    elevation = _FROM_BELOW if stage.lift == DOWN else _FROM_ABOVE
    return _drawn(bodies, _lifted(home, bodies, ways), home, (_azimuth(study), elevation))


def _side(stage: Stage, place: Placement) -> str:
    """Where a body comes from; what stands upside down comes from below."""
    below = place.key in stage.under or float(place.rotation[2, 2]) < -0.5
    return DOWN if below and stage.lift == UP else stage.lift


def _azimuth(study: Study) -> float:
    """Degrees; just beside the middle between two arms, towards the nose's right."""
    angles = np.sort(np.rad2deg(study.layout.arm_angles) % 360.0)
    gaps = np.diff([*angles, angles[0] + 360.0])
    middles = (angles + gaps / 2 + _ASIDE - _WANTED + 180.0) % 360.0 - 180.0 + _WANTED
    return float(middles[np.argmin(np.abs(middles - _WANTED))])


def part_picture(study: Study, key: str) -> bytes:
    """PNG of one part as it lies on the bed, small."""
    spec = next(each for each in study.parts if each.key == key)
    azimuth, elevation, wide, high = _PART_VIEW
    body = Body(on_bed(spec, study.assembly.meshes[key]), (0.72, 0.74, 0.75))
    return png_bytes(picture([body], np.deg2rad(azimuth), np.deg2rad(elevation), wide, high))


def _first_of_each(places: list[Placement]) -> list[Placement]:
    found: dict[str, Placement] = {}
    for place in places:
        found.setdefault(place.key, place)
    return list(found.values())


def _bodies(
    assembly: Assembly, places: list[Placement], tone: tuple[float, float, float]
) -> list[Body]:
    return [
        Body(assembly.meshes[p.key], tone, rotation=p.rotation, translation=p.translation)
        for p in places
    ]


def _lifted(new: list[Body], base: list[Body], ways: list[Floats]) -> list[Body]:
    """New bodies moved to where they come from."""
    points = np.concatenate([body.vertices for body in [*new, *base]])
    far = _LIFT * float(np.ptp(points, axis=0).max())
    if not base:
        return new
    return [
        replace(body, translation=body.translation + far * way)
        for body, way in zip(new, ways, strict=True)
    ]


def _way(body: Body, lift: str) -> Floats:
    if lift == OUT:
        middle = body.vertices.mean(axis=0) * np.array([1.0, 1.0, 0.0])
        outwards: Floats = middle / max(float(np.linalg.norm(middle)), 1e-9)
        return outwards
    return np.array([0.0, 0.0, -1.0 if lift == DOWN else 1.0])


def _drawn(
    base: list[Body], lifted: list[Body], home: list[Body], view: tuple[float, float]
) -> bytes:
    """The picture, with a dashed line from each lifted body to its place."""
    bodies = [*base, *lifted]
    angles = np.deg2rad(view[0]), np.deg2rad(view[1])
    pixels = picture(bodies, *angles, WIDE, HIGH)
    points = np.concatenate([body.vertices for body in bodies])
    camera = looking(*angles, points, WIDE, HIGH)
    image = Image.fromarray(pixels)
    pen = ImageDraw.Draw(image)
    for moved, fixed in zip(lifted, home, strict=True):
        for a, b in _dashes(camera, moved, fixed):
            pen.line([a, b], fill=(40, 48, 52), width=2)
    return png_bytes(np.asarray(image, dtype=np.uint8))


Pixel = tuple[float, float]


def _dashes(camera: Camera, moved: Body, fixed: Body) -> list[tuple[Pixel, Pixel]]:
    """Dashes over the free stretch between a lifted body and the top of its place."""
    start, end = camera.project(np.stack([_near_end(moved, fixed), fixed.vertices.mean(axis=0)]))[
        :, :2
    ]
    long = float(np.linalg.norm(end - start))
    if long < 12.0:
        return []
    way = (end - start) / long
    found = []
    for at in np.arange(0.0, long, 14.0):
        a, b = start + at * way, start + min(at + 8.0, long) * way
        found.append(((float(a[0]), float(a[1])), (float(b[0]), float(b[1]))))
    return found


def _near_end(moved: Body, fixed: Body) -> Floats:
    """Where the line from the moved body's middle to its place leaves the body, (3,), m."""
    middle: Floats = moved.vertices.mean(axis=0)
    way = fixed.vertices.mean(axis=0) - middle
    long = float(np.linalg.norm(way))
    if long < 1e-9:
        return middle
    way = way / long
    reach = float(((moved.vertices - middle) @ way).max())
    ends: Floats = middle + min(reach, long) * way
    return ends
