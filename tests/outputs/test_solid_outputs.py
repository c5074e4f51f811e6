"""Response chart and coloured glTF: drawn where the numbers say, read back by hand."""

import json
import struct
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest

from refledge.model.results import TriMesh
from refledge.outputs.charts.response import response_chart
from refledge.outputs.colours import colour_scale
from refledge.outputs.solid_files import _low, buckled_glb, solid_glb, solid_pictures, solid_record
from refledge.typed import Floats
from refledge.verify.results import (
    BuckledShape,
    HotSpot,
    PartVerified,
    SolidFigure,
    Verified,
    WholeVerified,
)

SVG = "{http://www.w3.org/2000/svg}"
SPEED = np.linspace(100.0, 800.0, 8)
HOVER = 500.0


def whole() -> WholeVerified:
    controller = np.array([0.1, 0.2, 0.3, 0.4, 5.0, 0.4, 0.3, 0.2])
    return WholeVerified(
        dofs=1000, frequencies=np.array([20.0, 30.0]), errors=np.array([0.1, 0.2]),
        stiff=np.array([21.0, 31.0]), partner=(0, 1), assurance=np.array([0.9, 0.8]),
        beam=np.array([20.5, 31.5]), speed=SPEED, at_controller=controller,
        at_belly=np.linspace(0.0, 1.0, 8),
    )  # fmt: skip


def part(use: Floats) -> PartVerified:
    vertices = np.array([[0.0, 0, 0], [1, 0, 0], [0, 1, 0], [0, 0, 1]])
    triangles = np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]])
    spot = HotSpot("hover", "flight", 0.4, 0.01, 0.5, 0.3, 0.02, 0.35, (0.0, 0.0, 0.0))
    figure = SolidFigure("mode 1", "Hz", 20.0, 0.5, 21.0)
    surface = TriMesh(vertices, triangles)
    return PartVerified(
        "leg", (figure,), (spot,), 300, (5e-3, 4e-3), surface, use, "hover", "<VTKFile/>"
    )


def bent(why: str = "") -> PartVerified:
    """A part that buckles with its second vertex moving 2, its third 1."""
    moved = np.zeros((4, 3))
    moved[1, 2], moved[2, 1] = 1.0, 0.5
    return replace(part(np.zeros(4)), buckled=BuckledShape("hover", moved, why))


def curves(svg: str) -> list[list[tuple[float, float]]]:
    found = []
    for line in ElementTree.fromstring(svg).iter(f"{SVG}polyline"):
        pairs = [pair.split(",") for pair in (line.get("points") or "").split()]
        found.append([(float(x), float(y)) for x, y in pairs])
    return found


def test_curves_peak_where_the_response_does() -> None:
    controller, belly = curves(response_chart(whole(), (HOVER,)))
    assert len(controller) == len(belly) == len(SPEED)
    assert min(range(8), key=lambda i: controller[i][1]) == 4  # heights grow downwards
    heights = [y for _, y in belly]
    assert heights == sorted(heights, reverse=True)
    steps = np.diff([x for x, _ in controller])
    assert np.allclose(steps, steps[0], rtol=0.02)


def test_one_scale_holds_both_curves_so_heights_compare() -> None:
    controller, belly = curves(response_chart(whole(), (HOVER,)))
    zero = belly[0][1]
    ratio = (zero - controller[4][1]) / (zero - belly[7][1])
    assert ratio == pytest.approx(5.0, rel=0.01)


def test_hover_is_marked_at_its_speed_and_axes_name_their_units() -> None:
    svg = response_chart(whole(), (HOVER,))
    root = ElementTree.fromstring(svg)
    marks = [n for n in root.iter(f"{SVG}line") if "mark" in (n.get("class") or "").split()]
    controller, _ = curves(svg)
    assert len(marks) == 1
    place = float(marks[0].get("x1") or "nan")
    assert place == pytest.approx(controller[4][0], abs=0.1)
    words = " ".join(node.text or "" for node in root.iter(f"{SVG}text"))
    for each in ("rpm", "m/s", "hover", "flight controller", "battery and load"):
        assert each in words


def glb(raw: bytes) -> tuple[dict[str, object], bytes]:
    assert struct.unpack("<4sII", raw[:12]) == (b"glTF", 2, len(raw))
    size, kind = struct.unpack("<I4s", raw[12:20])
    assert kind == b"JSON"
    start = 20 + size
    (binary,) = struct.unpack("<I", raw[start : start + 4])
    return json.loads(raw[20:start]), raw[start + 8 : start + 8 + binary]


def accessor(document: dict[str, object], binary: bytes, name: str) -> Floats:
    told: dict = document  # type: ignore[type-arg]
    number = told["meshes"][0]["primitives"][0]["attributes"][name]
    view = told["bufferViews"][told["accessors"][number]["bufferView"]]
    count = told["accessors"][number]["count"]
    start = view.get("byteOffset", 0)
    return np.frombuffer(binary[start : start + 12 * count], "<f4").reshape(-1, 3).astype(float)


def linear(srgb: Floats) -> Floats:
    """IEC 61966-2-1."""
    return np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)


@pytest.mark.parametrize("worst", [0.6, 2.0])
def test_gltf_colours_are_the_uses_of_its_vertices(worst: float) -> None:
    """The scale ends at full use, or at the worst where that is more."""
    use = np.array([0.0, 0.25, 0.5, worst])
    document, binary = glb(solid_glb(part(use), "1.0"))
    found = accessor(document, binary, "COLOR_0")
    wanted = linear(colour_scale(use / max(1.0, worst)))
    assert np.allclose(found, wanted, atol=1e-4)
    assert np.allclose(accessor(document, binary, "POSITION"), part(use).surface.vertices)


def test_a_part_that_buckles_is_shown_bent_and_coloured_by_its_motion() -> None:
    document, binary = glb(buckled_glb(bent(), "1.0"))
    off = accessor(document, binary, "POSITION") - part(np.zeros(4)).surface.vertices
    assert off[1, 2] == pytest.approx(2 * off[2, 1])
    assert 0.01 < off[1, 2] < 0.2
    found = accessor(document, binary, "COLOR_0")
    wanted = linear(colour_scale(np.array([0.0, 1.0, 0.5, 0.0])))
    assert np.allclose(found, wanted, atol=1e-4)


def test_what_buckles_is_looked_at_from_its_own_side() -> None:
    """The fourth vertex is the high one."""
    low = np.array([0.1, 1.0, 0.2, 0.0])
    surface = part(low).surface
    assert _low(surface, low)
    assert not _low(surface, np.array([0.0, 0.2, 0.1, 1.0]))


def test_only_what_buckles_gets_a_picture_of_it() -> None:
    def stems(each: PartVerified) -> set[str]:
        return set(solid_pictures(Verified((each,), (), None, ())))

    assert stems(bent()) == {"solid-leg", "buckled-leg"}
    assert stems(bent("did not converge")) == stems(part(np.zeros(4))) == {"solid-leg"}


def test_the_record_holds_every_figure() -> None:
    told = json.loads(solid_record(Verified((part(np.zeros(4)),), (("seat", "no"),), whole(), ())))
    assert told["airframe"]["errors"] == [0.1, 0.2]
    assert told["airframe"]["stiff"] == [21.0, 31.0]
    assert told["parts"][0]["hot_spots"][0]["plastic"] == 0.4
    assert told["not_solved"] == [["seat", "no"]]
