"""Section properties against pictures of the sections (area integrals, torsion by elements)."""

from unittest.mock import patch

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from refledge.analysis import bars, sections
from refledge.analysis.shear import shear_area
from tests.analysis.raster import area_integrals, bored, picture, torsion_constant

MM = 1e-3


def check_areas(section, drawing, rtol):
    area, low, Iy, Iz = area_integrals(drawing)
    np.testing.assert_allclose(section.area, area, rtol=rtol)
    np.testing.assert_allclose(section.centroid, low, rtol=rtol)
    np.testing.assert_allclose(section.Iy, Iy, rtol=rtol)
    np.testing.assert_allclose(section.Iz, Iz, rtol=rtol)


def test_box_areas():
    """Walls lie on the grid, so the picture is exact."""
    section = sections.box(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 1 * MM)
    void = (2 * MM, 22 * MM, 1.5 * MM, 19 * MM)
    check_areas(section, picture(24 * MM, 20 * MM, 0.1 * MM, void), 1e-9)


def test_channel_areas_between_ribs():
    section = sections.channel(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 2 * MM, 16 * MM)
    void = (2 * MM, 22 * MM, 1.5 * MM, 20.1 * MM)
    check_areas(section, picture(24 * MM, 20 * MM, 0.1 * MM, void), 1e-9)


def test_truss_areas_between_diagonals():
    section = sections.truss(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 2.5 * MM, 2 * MM, 16 * MM)
    below = (-1, 1, 1.5 * MM, 17.5 * MM)
    between = (2 * MM, 22 * MM, 17.5 * MM, 20.1 * MM)
    drawing = picture(24 * MM, 20 * MM, 0.1 * MM, below, between)
    check_areas(section, drawing, 1e-9)


@pytest.mark.parametrize("bore", [0.0, 6 * MM])
def test_solid_areas(bore):
    """A round bore on a square grid: 0.1 %."""
    drawing = bored(24 * MM, 18 * MM, bore, 0.05 * MM)
    check_areas(sections.solid(24 * MM, 18 * MM, bore), drawing, 1e-3)


def test_tube_equals_difference_of_circles():
    section = sections.tube(16 * MM, 14 * MM)
    second = np.pi / 4 * ((8 * MM) ** 4 - (7 * MM) ** 4)
    np.testing.assert_allclose([section.Iy, section.Iz, section.J / 2], second, rtol=1e-12)
    np.testing.assert_allclose(section.area, np.pi * ((8 * MM) ** 2 - (7 * MM) ** 2), rtol=1e-12)


def test_tube_shear_area_of_solid_and_thin():
    """Cowper (1966) at nu = 0: solid circle 6/7, thin tube 1/2."""
    solid, thin = sections.tube(1.0, 0.0), sections.tube(1.0, 0.9999)
    np.testing.assert_allclose(solid.Az / solid.area, 6 / 7, rtol=1e-12)
    np.testing.assert_allclose(thin.Az / thin.area, 1 / 2, rtol=1e-3)


@pytest.mark.parametrize(
    ("width", "depth", "side", "top", "bottom"),
    [
        (20, 10, 2, 2, 2),
        (24, 20, 1, 3, 2),
        (20, 20, 2, 2, 2),
        (24, 20, 2, 1.5, 1),
        (20, 20, 3, 3, 3),
        (24, 12, 1, 1, 1),
    ],
)
def test_box_torsion_within_1_percent(width, depth, side, top, bottom):
    """Against the stress function on two grids, extrapolated (their difference is under 1 %)."""
    void = (side * MM, (width - side) * MM, top * MM, (depth - bottom) * MM)
    grids = [
        torsion_constant(picture(width * MM, depth * MM, h * MM, void), closed=True)
        for h in (0.25, 0.125)
    ]
    assert abs(grids[1] / grids[0] - 1) < 0.01
    wanted = grids[1] + (grids[1] - grids[0]) / 3
    found = sections.box(width * MM, depth * MM, side * MM, top * MM, bottom * MM).J
    np.testing.assert_allclose(found, wanted, rtol=0.01)


def test_bored_block_torsion_within_5_percent():
    """Bore half of the smaller side; the bore is closed, its stress function constant."""
    drawing = bored(24 * MM, 12 * MM, 6 * MM, 0.1 * MM)
    wanted = torsion_constant(drawing, closed=True)
    np.testing.assert_allclose(sections.solid(24 * MM, 12 * MM, 6 * MM).J, wanted, rtol=0.05)


def test_open_strips_torsion_of_truss_section():
    """Plate and two chords apart: the sum of their constants, by elements, within 1 %.

    The diagonals are a hair thick, so that they add nothing.
    """
    plate = torsion_constant(picture(24 * MM, 2 * MM, 0.1 * MM))
    chord = torsion_constant(picture(2 * MM, 2.5 * MM, 0.1 * MM))
    size = (24 * MM, 20 * MM, 2 * MM, 2 * MM, 2.5 * MM)
    found = sections.truss(*size, 1e-6 * MM, 16 * MM).J
    np.testing.assert_allclose(found, plate + 2 * chord, rtol=0.01)


def test_channel_torsion_lies_between_open_and_closed():
    """Above the open section by elements, below the box that a full bottom wall would make."""
    void = (2 * MM, 22 * MM, 1.5 * MM, 20.1 * MM)
    opened = torsion_constant(picture(24 * MM, 20 * MM, 0.25 * MM, void))
    box = sections.box(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 2 * MM).J
    ribbed = sections.channel(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 2 * MM, 16 * MM).J
    bare = sections.channel(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 1e-9, 16 * MM).J
    assert opened < ribbed < box
    np.testing.assert_allclose(bare, opened, rtol=0.1)


def test_rib_volume_by_picture():
    """Zig-zag of two ribs drawn in plan; the picture counts shared corners once. Within 1 %."""
    inner, pitch, rib, h = 20.0, 16.0, 2.0, 0.02
    x = (np.arange(round(2 * pitch / h)) + 0.5) * h
    y = (np.arange(round(inner / h)) + 0.5) * h
    long = np.hypot(inner, pitch)

    def band(start, slope):
        return np.abs(x - (start + slope * y[:, None] * pitch / inner)) < rib / 2 * long / inner

    starts = [0, 2 * pitch]
    plan = np.any([band(s, 1) | band(s, -1) for s in starts], axis=0)
    drawn = plan.sum() * h * h / (2 * pitch) * MM
    section = sections.channel(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, rib * MM, pitch * MM)
    found = (section.volume_per_length - section.area) / (18.5 * MM)
    np.testing.assert_allclose(found, drawn, rtol=0.01)


def cowper_box(m, n):
    """Cowper (1966), thin-walled box, nu = 0: m = b t1 / (h t), n = b / h."""
    bottom = 12 + 72 * m + 150 * m**2 + 90 * m**3 + 10 * n**2 * (3 * m + 3 * m**2)
    return 10 * (1 + 3 * m) ** 2 / bottom


@pytest.mark.parametrize(("b", "h", "t1", "t"), [(1, 1, 1, 1), (2, 1, 0.5, 1), (1, 3, 2, 1)])
def test_box_shear_area_equals_cowper(b, h, t1, t):
    t1, t = t1 * 1e-4, t * 1e-4
    area = 2 * (b * t1 + h * t)
    found = shear_area(np.array(float(h)), t, 2.0, b / 2, t1, t1)
    np.testing.assert_allclose(found / area, cowper_box(b * t1 / (h * t), b / h), rtol=1e-9)


def test_open_channel_shear_area_by_integration():
    """Shear flow V S / I summed step by step from the free edges; 0.1 %."""
    h, b, side, top = 19.25, 22.0, 2.0, 1.5
    s = np.linspace(0, b / 2, 4001)
    z = np.linspace(0, h, 4001)
    low = 2 * side * h * h / 2 / (2 * side * h + b * top)
    second = b * top * low**2 + 2 * side * (h**3 / 12 + h * (h / 2 - low) ** 2)
    plate = top * low * s
    wall = (
        plate[-1] + np.concatenate([[0], np.cumsum(side * (low - (z[1:] + z[:-1]) / 2))]) * h / 4000
    )
    assert abs(wall[-1]) < 1e-6 * wall.max()  # the flow dies at the free edge
    work = 2 * np.trapezoid(plate**2, s) / top + 2 * np.trapezoid(wall**2, z) / side
    found = shear_area(np.array(h), side, 2.0, b / 2, top, 0.0)
    np.testing.assert_allclose(found, second**2 / work, rtol=1e-3)


@settings(max_examples=50, deadline=None)
@given(scale=st.floats(0.1, 10))
def test_properties_scale_with_powers_of_size(scale):
    sizes = np.array([24, 20, 2, 1.5, 1.2, 2, 16]) * MM
    one = sections.truss(*sizes)
    with patch.object(bars, "FILLET", scale * bars.FILLET):
        more = sections.truss(*(sizes * scale))
    powers = {"area": 2, "Iy": 4, "J": 4, "Az": 2, "centroid": 1, "Wt": 3, "decay": -1, "Q": 3}
    powers |= {"shear_centre": 1, "Ay": 2, "plane_J": 4, "plane_centre": 1}
    for name, power in powers.items():
        ratio = getattr(more, name) / getattr(one, name)
        np.testing.assert_allclose(ratio, scale**power, rtol=1e-9)


def test_first_moment_gives_shear_peak_of_rectangle():
    """V Q / (I t) of a solid rectangle is 1.5 V / A."""
    section = sections.rectangle(3.0, 2.0)
    np.testing.assert_allclose(section.Q / (section.Iy * section.web), 1.5 / 6.0, rtol=1e-12)


def test_first_moment_of_box_by_picture():
    section = sections.box(24 * MM, 20 * MM, 2 * MM, 1.5 * MM, 1 * MM)
    drawing = picture(24 * MM, 20 * MM, 0.1 * MM, (2 * MM, 22 * MM, 1.5 * MM, 19 * MM))
    z = (np.arange(200) + 0.5) * 0.1 * MM
    above = np.maximum(float(section.centroid) - z, 0)
    drawn = (drawing.cells.sum(axis=1) * above).sum() * (0.1 * MM) ** 2
    np.testing.assert_allclose(section.Q, drawn, rtol=1e-3)
