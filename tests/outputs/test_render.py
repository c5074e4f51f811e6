"""Pictures: what is seen where, the same again, and fast enough."""

import io
import time
from dataclasses import replace

import numpy as np
import pytest
from PIL import Image

from refledge.geometry.raster import rasterise
from refledge.model.results import Placement, TriMesh
from refledge.outputs.camera import looking
from refledge.outputs.colours import colour_scale, lab_to_srgb, to_srgb
from refledge.outputs.layer import Body, drawn
from refledge.outputs.legend import with_legend
from refledge.outputs.normals import corner_normals
from refledge.outputs.pictures import without_slung
from refledge.outputs.render import picture, placed_bodies, png_bytes
from refledge.study import Study
from tests.outputs.shapes import box, cylinder

RED, BLUE = (0.8, 0.1, 0.1), (0.1, 0.1, 0.8)
TOP = np.deg2rad(90.0)


def _by_hand(corners: np.ndarray, width: int, height: int) -> np.ndarray:
    """Nearest triangle at each pixel, one triangle and pixel at a time."""
    best = np.full((height, width), -1)
    depth = np.full((height, width), np.inf)
    for index, (a, b, c) in enumerate(corners):
        area = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])
        for row in range(height):
            for column in range(width):
                x, y = column + 0.5, row + 0.5
                wa = ((b[0] - x) * (c[1] - y) - (c[0] - x) * (b[1] - y)) / area
                wb = ((c[0] - x) * (a[1] - y) - (a[0] - x) * (c[1] - y)) / area
                wc = 1 - wa - wb
                z = wa * a[2] + wb * b[2] + wc * c[2]
                if min(wa, wb, wc) >= 0 and z < depth[row, column]:
                    best[row, column], depth[row, column] = index, z
    return best


def test_depth_buffer_agrees_with_a_plain_loop() -> None:
    random = np.random.default_rng(4)
    centres = random.uniform(-5, 45, (40, 1, 3))
    size = random.choice([1.5, 6.0, 30.0], (40, 1, 1))
    corners = centres + size * random.uniform(-1, 1, (40, 3, 3))
    assert np.array_equal(rasterise(corners, 40, 30).triangle, _by_hand(corners, 40, 30))


def test_triangles_larger_than_a_window_are_whole() -> None:
    corners = np.array([[[0.0, 0.0, 1.0], [900.0, 0.0, 1.0], [0.0, 700.0, 1.0]]])
    seen = rasterise(corners, 400, 300)
    assert np.all(seen.triangle == 0)
    assert seen.depth == pytest.approx(1.0)


def test_weights_give_back_the_pixels_own_place() -> None:
    corners = np.array([[[2.0, 3.0, 0.0], [35.0, 6.0, 2.0], [10.0, 28.0, 5.0]]])
    seen = rasterise(corners, 40, 30)
    row, column = np.argwhere(seen.triangle == 0)[40]
    place = seen.weights[row, column] @ corners[0]
    assert place[:2] == pytest.approx([column + 0.5, row + 0.5])
    assert place[2] == pytest.approx(seen.depth[row, column])


def test_camera_from_above_has_the_nose_up_and_left_on_the_left() -> None:
    points = np.array([[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0], [-1.0, -1.0, 0]])
    camera = looking(np.pi, TOP, points, 200, 200)
    nose, left, top, origin = camera.project(
        np.array([[1.0, 0, 0], [0, 1.0, 0], [0, 0, 1.0], [0, 0, 0]])
    )
    assert nose[1] < origin[1]
    assert left[0] < origin[0]
    assert top[2] < origin[2]


def test_the_nearer_body_hides_the_other() -> None:
    high, low = box(1, 1, 0.1, (0, 0, 1)), box(1, 1, 0.1, (0, 0, 0))
    pixels = picture([Body(low, BLUE), Body(high, RED)], np.pi, TOP, 60, 60)
    middle = pixels[30, 30].astype(int)
    assert middle[0] > 2 * middle[2]


def test_a_clear_body_lets_the_one_behind_show() -> None:
    high, low = box(1, 1, 0.1, (0, 0, 1)), box(1, 1, 0.1, (0, 0, 0))
    solid = picture([Body(low, BLUE)], np.pi, TOP, 60, 60)[30, 30].astype(int)
    mixed = picture([Body(low, BLUE), Body(high, RED, 0.3)], np.pi, TOP, 60, 60)[30, 30]
    assert mixed[2] > mixed[0] > solid[0]


def test_a_clear_body_behind_a_solid_one_does_not_show() -> None:
    high, low = box(1, 1, 0.1, (0, 0, 1)), box(1, 1, 0.1, (0, 0, 0))
    alone = picture([Body(high, RED), Body(low, RED)], np.pi, TOP, 60, 60)
    with_clear = picture([Body(high, RED), Body(low, BLUE, 0.5)], np.pi, TOP, 60, 60)
    assert np.array_equal(alone[30, 30], with_clear[30, 30])


def test_edges_run_along_creases_and_not_over_smooth_faces() -> None:
    can = cylinder(0.5, 0.0, 1.0, 90)
    camera = looking(0.0, 0.0, can.vertices, 200, 200)
    edges = drawn([Body(can, RED)], camera, 200, 200).edges()
    inner = edges[20:-20, 20:-20]
    assert not inner.any()  # 90 facets round the can, none drawn
    cube = box(1, 1, 1, (0, 0, 0))
    camera = looking(np.deg2rad(45), 0.0, cube.vertices, 200, 200)
    upright = drawn([Body(cube, RED)], camera, 200, 200).edges()
    middle = upright.shape[1] // 2
    assert upright[40:-40, middle - 2 : middle + 2].any(axis=1).all()


def test_a_face_seen_nearly_edge_on_is_not_all_edge() -> None:
    sheet = box(1, 1, 0.01, (0, 0, 0))
    camera = looking(0.0, np.deg2rad(4.0), sheet.vertices, 400, 400)
    layer = drawn([Body(sheet, RED)], camera, 400, 400)
    face = layer.normal[..., 1] > 0.99
    assert face.sum() > 3000
    assert layer.edges()[face].mean() < 0.2  # its rim only


def test_a_body_is_drawn_where_it_is_placed() -> None:
    cube = box(1, 1, 1, (0, 0, 0))
    turn = np.array([[0.0, -1, 0], [1, 0, 0], [0, 0, 1]])
    shift = np.array([3.0, 1, 0])
    there = TriMesh(cube.vertices @ turn.T + shift, cube.triangles)
    mark = Body(box(0.2, 0.2, 0.2, (0, 0, 0)), BLUE)
    placed = picture([mark, Body(cube, RED, rotation=turn, translation=shift)], 0.4, 0.5, 90, 60)
    assert np.array_equal(placed, picture([mark, Body(there, RED)], 0.4, 0.5, 90, 60))


def test_a_payload_on_a_line_is_left_out_of_the_pictures(study: Study) -> None:
    eye, low = np.eye(3), np.array([0.0, 0, -2.0])
    hung = Placement("payload", "payload", "item", eye, low)
    placements = (*study.assembly.placements, hung)
    assembly = replace(study.assembly, placements=placements)
    slung = replace(study, assembly=assembly)
    fixed = replace(
        slung, brief=replace(study.brief, payload=replace(study.brief.payload, slung=False))
    )
    assert without_slung(slung).placements == study.assembly.placements
    assert without_slung(fixed).placements == placements


def test_normals_are_smooth_round_a_can_and_sharp_at_its_rim() -> None:
    can = cylinder(0.5, 0.0, 1.0, 60)
    normals = corner_normals(can)
    corners = can.vertices[can.triangles]
    side = np.ptp(corners[..., 2], axis=1) > 0.5
    radial = corners[side][..., :2] / 0.5
    assert np.abs(normals[side][..., :2] - radial).max() < 0.03
    assert np.abs(normals[~side][..., 2]) == pytest.approx(1.0)


def test_the_same_bodies_give_the_same_png(study: Study) -> None:
    one, two = (
        png_bytes(picture(placed_bodies(study.assembly), -0.5, 0.4, 120, 80)) for _ in range(2)
    )
    assert one == two
    assert Image.open(io.BytesIO(one)).size == (120, 80)


def test_scalars_run_from_dark_blue_to_pale_yellow() -> None:
    bar = box(1, 0.2, 0.1, (0, 0, 0))
    shares = bar.vertices[:, 0]
    pixels = picture([Body(bar, RED, scalars=shares)], -np.pi / 2, TOP, 200, 60).astype(int)
    left, right = pixels[30, 20], pixels[30, 180]
    assert left[2] > left[0]
    assert right[0] > right[2]
    assert right.sum() > left.sum() + 200


def test_colour_scale_rises_evenly_in_lightness() -> None:
    rgb = colour_scale(np.linspace(0, 1, 21))
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    luminance = linear @ [0.2126, 0.7152, 0.0722]  # of sRGB, IEC 61966-2-1
    lightness = np.cbrt(luminance)  # CIE 1976 L*, up to a scale and a shift
    steps = np.diff(lightness)
    assert np.all(steps > 0)
    assert steps.max() < 1.6 * steps.min()
    assert np.all((rgb > 0) & (rgb < 1))  # no end cut off


def test_oklab_red_is_red() -> None:
    # OKLab of sRGB (1, 0, 0) as listed for the CSS Color 4 conversions; RECALL
    red = lab_to_srgb(np.array([0.627955, 0.224863, 0.125846]))
    assert red == pytest.approx([1, 0, 0], abs=2e-3)


def test_srgb_curve_meets_its_ends() -> None:
    assert to_srgb(np.array([0.0, 1.0, 0.2140])) == pytest.approx([0, 1, 0.5], abs=1e-3)


def test_legend_marks_the_picture_without_touching_the_given_one() -> None:
    plain = np.full((200, 300, 3), 250, dtype=np.uint8)
    marked = with_legend(plain, "deflection", "0 mm", "3 mm")
    assert np.all(plain == 250)
    assert np.any(marked[:, :60] != 250)
    assert np.all(marked[:, 200:] == 250)
    assert int(marked[60, 35].sum()) > int(marked[140, 35].sum())  # pale above, dark below


@pytest.mark.slow
def test_a_large_assembly_is_drawn_in_seconds() -> None:
    can = cylinder(0.05, 0.0, 0.1, 1700)  # 6800 triangles, fifteen times: 102,000
    bodies = [
        Body(TriMesh(can.vertices + np.array([k % 5, k // 5, 0]) / 5, can.triangles), RED)
        for k in range(15)
    ]
    start = time.process_time()
    picture(bodies, -0.5, 0.5, 1200, 800)
    assert time.process_time() - start < 4.0
