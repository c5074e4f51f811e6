"""Bars with fillets, and plastic stretched at an angle to its layers."""

import numpy as np
import pytest

from refledge.analysis import bars
from refledge.analysis.bars import clear_length, even_length, window_fillet
from refledge.analysis.sections import Layered
from refledge.geometry.hollows import WINDOW_FILLET
from refledge.geometry.profile import polyline
from refledge.geometry.windows import windows
from refledge.solids.law import Plastic, layer_axes, rotated


def test_fillet_is_the_one_that_is_drawn():
    assert bars.FILLET == WINDOW_FILLET


@pytest.mark.parametrize(("run", "rise", "web"), [(18.8, 18.5, 0.9), (20.7, 21.0, 3.6)])
def test_even_length_by_slices_of_the_drawn_windows(run, rise, web):
    """Width of the bar cut by cut across its drawing, solid where a cut finds no window on the
    acute side; the bar's give is the sum of 1 / width. Within 2 % of the bar's length."""
    mm = 1e-3
    nodes = [k * run * mm for k in range(6)]
    found = windows(nodes, lambda _: 0.0, lambda _: rise * mm, web * mm, "lower", bars.FILLET)
    outlines = [polyline(loop, 400) for loop in found]
    start, long = np.array([2 * run * mm, 0.0]), np.hypot(run, rise) * mm
    along = np.array([run, rise]) * mm / long
    across = np.array([-along[1], along[0]])
    give = 0.0
    steps = (np.arange(400) + 0.5) / 400 * long
    for s in steps:
        acute = -across if s < long / 2 else across
        near = _reach(outlines, start + s * along, acute, 20 * mm)
        give += 0.0 if near is None else long / 400 / (web * mm / 2 + near)
    radius = window_fillet(*(np.array(v * mm) for v in (run, rise, web)))
    length = even_length(*(np.array(v * mm) for v in (run, rise, web)), radius)
    assert abs(length - give * web * mm) < 0.02 * long


def _reach(outlines, point, direction, far):
    """Distance from a point of the bar's middle line to the nearest outline that way, or None."""
    best = None
    for outline in outlines:
        a, b = outline, np.roll(outline, -1, axis=0)
        d = b - a
        det = direction[0] * -d[:, 1] + direction[1] * d[:, 0]
        rest = a - point
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (rest[:, 0] * -d[:, 1] + rest[:, 1] * d[:, 0]) / det
            u = (direction[0] * rest[:, 1] - direction[1] * rest[:, 0]) / det
        hit = t[(u >= 0) & (u < 1) & (t > 0) & (t < far)]
        if hit.size and (best is None or hit.min() < best):
            best = float(hit.min())
    return best


def test_no_fillet_leaves_the_bar_between_its_corners():
    """At 45 degrees the acute corner lies t/2 along: the bar is shorter by t in all."""
    length = even_length(np.array(10.0), np.array(10.0), np.array(1.0), np.array(0.0))
    np.testing.assert_allclose(length, np.hypot(10, 10) - 1.0, rtol=1e-12)


@pytest.mark.parametrize("angle", [0.0, 0.5, 0.8, np.pi / 2])
def test_stretched_at_an_angle_as_the_solids_law(angle):
    """1 / S_xx of the solids' law turned about y, to rounding."""
    law = Plastic(E_xy=2e9, E_z=1.5e9, nu_xy=0.38, nu_xz=0.38, G_xz=0.5e9, rho=1.0,
                  strength_xy=1.0, strength_z=1.0, shear_z=1.0)  # fmt: skip
    normal = np.array([-np.sin(angle), 0.0, np.cos(angle)])
    turned = np.linalg.inv(rotated(law.stiffness(), layer_axes(normal)))
    found = Layered(2.0 / 0.5, 2.0 / 1.5, 0.38).inclined(np.array(np.sin(angle)))
    np.testing.assert_allclose(2e9 / found, 1 / turned[0, 0], rtol=1e-9)


@pytest.mark.parametrize("radius", [0.0, 1.5e-3])
def test_a_wall_is_free_from_fillet_to_fillet(radius):
    """Bars of 3 mm at 45 degrees every 40 mm: each covers 3 / (2 sin 45) either side of its node
    and its fillet r / tan 22.5, less r."""
    free = clear_length(np.array(20e-3), np.array(20e-3), 3e-3, radius)
    each = 1.5e-3 * np.sqrt(2) + radius * (1 / np.tan(np.pi / 8) - 1)
    np.testing.assert_allclose(free, 40e-3 - 2 * each, rtol=1e-12)
