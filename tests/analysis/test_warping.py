"""Sideways bending with torsion: against closed forms, a numerical solution, a solver of frames."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from refledge.analysis import bars, sections
from refledge.analysis.arms import held_ends
from refledge.analysis.beam import all_dofs, frame_of, line_mesh, solve_static
from refledge.analysis.sections import Layered
from refledge.analysis.torsion import rectangle_torsion, stretched
from refledge.analysis.warping import Walls, centred, held, in_series, wall_moments, warp
from tests.analysis.truss_frame import TrussFrame

MM = 1e-3
STIFF = 1e6


def thin_channel(b=22.0, h=19.25, s=0.02, t=0.015, shear=STIFF, bracing=0.0, floor=0.0):
    """Walls too stiff to shear unless told; lengths of no unit, G = 1, E = 2.6."""
    second = h * (((b + s) ** 3 - (b - s) ** 3) / 12)
    upper, mixed, lower = second / 3, second / 6, second / 3
    upper += t * (b + s) ** 3 / 12
    torsion = (b * t**3 + 2 * h * s**3) / 3
    values = (2.6, b, h, shear, floor, bracing, shear, torsion, upper, mixed, lower)
    return Walls(*(np.array(v) for v in (*values, in_series(upper, mixed, lower))))


def test_shear_centre_of_a_thin_channel():
    """Timoshenko and Gere, Theory of Elastic Stability, table of shear centres, channel:
    e = 3 h^2 s / (b t + 6 h s) beyond the web, which here is the plate. Walls of no shear strain;
    thickness a thousandth of the size: 0.5 %."""
    b, h, s, t = 22.0, 19.25, 0.02, 0.015
    found = centred(warp(thin_channel(b, h, s, t)).free, np.array(0.0))
    np.testing.assert_allclose(-found[2], 3 * h**2 * s / (b * t + 6 * h * s), rtol=5e-3)


def test_warping_constant_of_a_thin_channel():
    """Same table: C = s h^3 b^2 / 12 (3 h s + 2 b t) / (6 h s + b t); decay^2 = G J / (E C)."""
    b, h, s, t = 22.0, 19.25, 0.02, 0.015
    C = s * h**3 * b**2 / 12 * (3 * h * s + 2 * b * t) / (6 * h * s + b * t)
    section = thin_channel(b, h, s, t)
    wanted = np.sqrt(section.torsion / (2.6 * C))
    np.testing.assert_allclose(warp(section).decay, wanted, rtol=5e-3)


def test_closed_below_it_is_bredts_tube():
    """J = 4 A^2 / sum of length over thickness (Bredt), less than 0.1 % for the strips' own."""
    b, h, s, t, u = 22.0, 19.0, 0.02, 0.015, 0.01
    second = h * (((b + s) ** 3 - (b - s) ** 3) / 12)
    moments = (second / 3 + t * b**3 / 12, second / 6, second / 3 + u * b**3 / 12, 1.0)
    section = Walls(*(np.array(v) for v in (2.6, b, h, t * b, u * b, 0, 2 * s * h, 0, *moments)))
    J = centred(warp(section).free, np.array(0.0))[0]
    np.testing.assert_allclose(J, 4 * (b * h) ** 2 / (b / t + b / u + 2 * h / s), rtol=1e-9)


def test_bracing_lies_between_open_and_closed():
    """Ribs over the whole height help less than as much at the lower edge."""
    rest = {"shear": 0.4}
    spread = warp(thin_channel(bracing=0.1, **rest)).free.tt
    low = warp(thin_channel(floor=0.1, **rest)).free.tt
    opened = warp(thin_channel(**rest)).free.tt
    assert low < spread < opened


@pytest.mark.parametrize("long", [5.0, 60.0, 900.0])
@pytest.mark.parametrize("load", [(1.0, 0.0), (0.0, 1.0), (1.0, -4.0)])
def test_held_span_solves_the_field_equations(long, load):
    """Against the two-point problem in (warping, its slope), written out from the energies.

    Strains g (sideways) and r (twist) follow pointwise from V and T; E I d'' = dW/dd.
    """
    b, h = 22.0, 19.25
    section = thin_channel(b, h, 0.4, 0.5, shear=5.0, bracing=0.8)
    c = float((section.mixed + section.lower) / (section.upper + 2 * section.mixed + section.lower))
    top, edge, wall = np.array([1, 0, -c]), np.array([1, h, 1 - c]), np.array([0, 1, -1 / h])
    H = 5.0 * np.outer(top, top) + 5.0 * b**2 / 4 * np.outer(wall, wall)
    z, w = np.polynomial.legendre.leggauss(4)
    for at, weight in zip((z + 1) / 2, w / 2, strict=True):
        row = (1 - at) * top + at * edge
        H += 0.8 * weight * np.outer(row, row)
    H[1, 1] += float(section.torsion)
    inertia = 2.6 * float(section.warping)

    def strains(d):
        return np.linalg.solve(H[:2, :2], np.array(load)[:, None] - np.outer(H[:2, 2], d))

    def slopes(_, v):
        e = strains(v[0])
        force = H[2, :2] @ e + H[2, 2] * v[0]
        return np.vstack([v[1], force / inertia, e])

    mesh = np.linspace(0, long, 801)
    ends = lambda a, b: np.array([a[0], b[0], a[2], a[3]])  # noqa: E731
    found = solve_bvp(slopes, ends, mesh, np.zeros((4, mesh.size)), tol=1e-8, max_nodes=50000)
    assert found.success
    state = warp(section)
    zero = np.array(0.0)
    J, area, below = held(
        centred(state.free, zero), centred(state.plane, zero), state.decay, np.array(long)
    )
    V, T = load
    twist = (T + below * -V) / J
    slide = V / area - below * twist
    wanted = found.y[2:, -1] / long
    np.testing.assert_allclose([slide, twist], wanted, rtol=1e-4, atol=1e-5 * abs(wanted).max())


def test_wall_moments_add_up():
    """The three parts together are both walls' second moment; walls of full height share it as a
    linear beam element does: a third, a sixth, a third."""
    width, side, start, end, height = (np.array(v) for v in (24.0, 2.0, 0.8, 18.5, 19.0))
    upper, mixed, lower = wall_moments(width, side, start, end, height)
    whole = (24.0**3 - 20.0**3) / 12
    np.testing.assert_allclose(upper + 2 * mixed + lower, whole * 17.7, rtol=1e-12)
    full = wall_moments(width, side, np.array(0.0), height, height)
    np.testing.assert_allclose(full, whole * 19 * np.array([1 / 3, 1 / 6, 1 / 3]), rtol=1e-12)


def test_beam_about_its_shear_centre():
    """Cantilever pushed sideways above its shear centre, by hand: bending, shear, and the twist
    F a L / (G J) that moves the load by another a."""
    section = sections.channel(24 * MM, 26 * MM, 1.8 * MM, 1.6 * MM, 0.9 * MM, 18 * MM)
    E, G, L, F, up = 2e9, 0.7e9, 0.2, 3.0, 31 * MM
    nodes, elements = line_mesh((0, 0, 0), (L, 0, 0), 5)
    high = float(section.centroid - section.shear_centre)
    frame = frame_of(nodes, elements, section, E, G, 1.0, shear_centre=high)
    load = np.zeros((6, 6))
    load[-1] = [0, F, 0, -up * F, 0, 0]
    tip = solve_static(frame, load, all_dofs(0)).displacements[-1]
    a = up - high
    twist = -F * a * L / (G * section.J)
    np.testing.assert_allclose(tip[3], twist, rtol=1e-9)
    bend = F * L**3 / (3 * E * section.Iz) + F * L / (G * section.Ay)
    np.testing.assert_allclose(tip[1] - up * tip[3], bend - a * twist, rtol=1e-9)


def test_upside_down_shear_centre():
    """Of a box with a thick lid it lies nearer to the lid; alike above and below, in the middle."""
    lid = sections.box(24 * MM, 26 * MM, 1.8 * MM, 3 * MM, 1 * MM)
    even = sections.box(24 * MM, 26 * MM, 1.8 * MM, 2 * MM, 2 * MM)
    assert lid.shear_centre < 12 * MM
    np.testing.assert_allclose(even.shear_centre, 13 * MM, rtol=1e-9)


def test_thin_strips_twist_by_the_modulus_of_their_plane():
    """A strip lying in the layers shears in their plane, an upright one across: w t^3 / 3."""
    w, t, flat = np.array(1.0), np.array(1e-3), np.array(1.5)
    for width, depth, ratio in ((w, t, 1.5), (t, w, 1.0)):
        long, factor = stretched(depth, flat)
        J = rectangle_torsion(width, long)[0] * factor
        np.testing.assert_allclose(J, ratio * 1e-9 / 3, rtol=2e-3)


def test_a_tapered_span_is_held_by_its_ends():
    """Short against 1/decay: twist T L (mean of 3 xi^2 decay^2) L^2 / 12 over G J, xi from the
    middle; by Gauss points of the exact integral, 1 % for twenty stations."""
    count, span = 20, 0.1
    height = np.linspace(30, 20, 2 * count + 1)[1::2] * MM
    free = sections.truss(*(v * MM for v in (24, 1, 3, 1.6, 3)), 1e-6 * MM, 20 * MM)
    whole = sections.truss(24 * MM, height, 3 * MM, 1.6 * MM, 3 * MM, 2 * MM, 20 * MM)
    decay = 0.5 * 30 * MM / height
    still = np.full(count, 1e9)
    rigid = {"plane_J": still, "plane_Ay": still, "plane_centre": 0 * still}
    J, one = np.full(count, float(free.J)), np.ones(count)
    section = replace(whole, J=J, Ay=one, shear_centre=0 * one, decay=decay, **rigid)
    found = np.mean(1 / held_ends(section, np.array(span)).J)
    xi, weight = np.polynomial.legendre.leggauss(8)
    exact = 0.5 * 30 / (25 - 5 * xi)
    wanted = np.sum(weight * (xi * exact * span) ** 2) / 8 / J[0]
    np.testing.assert_allclose(found, wanted, rtol=0.01)


SIZES = {
    "demo": {"width": 25.65, "depth": 27, "side": 4.05, "top": 1.6, "bottom": 4.8, "web": 3.6,
             "pitch": 41.4},
    "slim": {"width": 24, "depth": 22, "side": 2.7, "top": 1.6, "bottom": 3.2, "web": 1.8,
             "pitch": 32},
    "wide": {"width": 28, "depth": 30, "side": 1.8, "top": 2.4, "bottom": 2.4, "web": 1.35,
             "pitch": 40},
}  # fmt: skip


# Nearly free hinges and nearly rigid links together; the compliance stays symmetric to rounding.
pytestmark = pytest.mark.filterwarnings("ignore:An ill-conditioned matrix")


@pytest.fixture(params=[("demo", 5), ("demo", 15), ("slim", 4), ("wide", 6)], ids=str)
def both(request, monkeypatch):
    """A truss span as a section and as a frame of bars, without fillets, of isotropic plastic."""
    monkeypatch.setattr(bars, "FILLET", 0.0)
    name, panels = request.param
    size = {key: value * MM for key, value in SIZES[name].items()}
    frame = TrussFrame(panels, **size, E=2e9, G=2e9 / 2.7)
    rows = {key: np.array([value]) for key, value in size.items()}
    section = sections.truss(**rows, plastic=Layered(2.7, 1.0, 0.35), panels=panels)
    span = panels * size["pitch"]
    give = frame.give()
    assert np.abs(give - give.T).max() < 1e-9 * np.abs(give).max()
    return give, held_ends(section, np.array(span)), span, size, 2e9, 2e9 / 2.7


def test_truss_against_a_frame_of_bars(both):
    """Up and down up to 4 % stiff, never soft: forces of plate and chords come in steps, which the
    fewest panels show most. Turned about y and z within 2 %."""
    C, s, span, _, E, G = both
    up = span**3 / (3 * E * s.Iy) + span / (G * s.Az)
    assert 0.955 * C[2, 2] < up < 1.001 * C[2, 2]
    np.testing.assert_allclose(span / (E * s.Iy), C[4, 4], rtol=0.02)
    np.testing.assert_allclose(span / (E * s.Iz), C[5, 5], rtol=0.02)


def test_truss_twists_as_a_frame_of_bars(both):
    """Twist within 9 %: in slim trusses the nodes give, so that the section errs stiff."""
    C, s, span, _, _, G = both
    np.testing.assert_allclose(span / (G * s.J), C[3, 3], rtol=0.09)


def test_truss_sways_as_a_frame_of_bars(both):
    """Sideways at the plate, without the plate's shear strain, which the bars lack; and the twist
    that comes with it from the shear centre's height, which falls to what stays of a difference:
    5 % and 20 %. In stiff trusses the bars' bending and the chord's steps lower the centre."""
    C, s, span, size, E, G = both
    rise = -(s.shear_centre - size["top"] / 2)
    twist = span / (G * s.J)
    bars_lack = span / (G * 5 / 6 * size["width"] * size["top"])
    sway = span**3 / (3 * E * s.Iz) + span / (G * s.Ay) + rise**2 * twist - bars_lack
    np.testing.assert_allclose(sway, C[1, 1], rtol=0.05)
    np.testing.assert_allclose(rise * twist, C[1, 3], rtol=0.2)
