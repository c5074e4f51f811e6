"""Solids whose drawings are known beforehand, and what the tests ask of a sheet."""

import numpy as np

from refledge.geometry.kernel import Solid, box, cone, cut, extrude, fuse, tessellate
from refledge.geometry.profile import circle
from refledge.model.results import PartSpec, TriMesh
from refledge.outputs.drawing.marks import Box, Line, Sheet


def bracket() -> Solid:
    """60 x 40 x 8 mm with two through holes of 5 mm, a blind one of 10 by 3, a sunk one."""
    plate = box((0, -0.02, 0), (0.06, 0.02, 0.008))
    through = [cone((x, -0.01, -0.001), 0.005, 0.005, 0.01) for x in (0.01, 0.05)]
    blind = cone((0.03, 0.005, 0.005), 0.010, 0.010, 0.004)
    sunk = [
        cone((0.02, 0.012, -0.001), 0.003, 0.003, 0.01),
        cone((0.02, 0.012, 0.006), 0.003, 0.009, 0.003),
    ]
    return cut(plate, *through, blind, *sunk)


def pipe() -> Solid:
    """A square pipe, 120 x 30 x 20 mm, walls 2 mm, closed at both ends, with a bore in one."""
    outside = box((0, -0.015, -0.01), (0.12, 0.015, 0.01))
    inside = box((0.01, -0.013, -0.008), (0.11, 0.013, 0.008))
    bore = extrude(circle((0.0, 0.0), 0.006), -0.001, 0.02, axis="x")
    return cut(outside, inside, bore)


def post() -> Solid:
    """A disc of 40 mm with a pin of 10 mm on it."""
    return fuse(cone((0, 0, 0), 0.04, 0.04, 0.004), cone((0, 0, 0.003), 0.01, 0.01, 0.017))


def spec_of(
    solid: Solid, key: str = "bracket", note: str = "flat; no support"
) -> tuple[PartSpec, TriMesh]:
    mesh = tessellate(solid)
    size = np.ptp(mesh.vertices, axis=0)
    spec = PartSpec(
        key=key, name=key, quantity=2, material="PETG", printed=True, volume=1e-5, mass=0.0127,
        size=(float(size[0]), float(size[1]), float(size[2])), print_rotation=np.eye(3),
        print_note=note, fits_bed=True,
    )  # fmt: skip
    return spec, mesh


def overlaps(sheet: Sheet) -> list[tuple[str, str]]:
    """Pairs of texts whose boxes share space."""
    boxes = [(text.words, text.box) for text in sheet.texts]
    return [
        (one, other) for k, (one, a) in enumerate(boxes) for other, b in boxes[:k] if _share(a, b)
    ]


def _share(a: Box, b: Box) -> bool:
    return min(a[2], b[2]) > max(a[0], b[0]) and min(a[3], b[3]) > max(a[1], b[1])


def leaving(sheet: Sheet) -> list[str]:
    """Texts and lines that cross the frame."""
    x0, y0, x1, y1 = sheet.inner
    found = [
        text.words
        for text in sheet.texts
        if text.box[0] < x0 or text.box[1] < y0 or text.box[2] > x1 or text.box[3] > y1
    ]
    for mark in sheet.marks:
        if isinstance(mark, Line):
            low, high = mark.points.min(axis=0), mark.points.max(axis=0)
            if (
                low[0] < x0 - 1e-6
                or low[1] < y0 - 1e-6
                or high[0] > x1 + 1e-6
                or high[1] > y1 + 1e-6
            ):
                found.append(f"{mark.kind} line at {low}")
    return found
