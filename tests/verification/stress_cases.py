"""Published and closed-form problems of stress and deflection."""

import numpy as np

from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import FaceLoad, FaceStress, Pressure, SolidCase, Support
from refledge.solids.law import isotropic
from refledge.solids.probe import section_motion
from refledge.solids.regions import Surface
from refledge.solids.static import static
from refledge.solids.stress import recover
from refledge.solids.system import build
from refledge.typed import Floats
from tests.verification.book import Entry, Target, node_at, polar, steel

TNSB = "The Standard NAFEMS Benchmarks, TNSB Rev. 3 (1990)"


def le10(level: int) -> tuple[float, list[float]]:
    """sigma_yy at D, Pa."""

    def place(p: Floats) -> Floats:
        r, a = p[:, 0] ** 2, p[:, 1] ** 2 * np.pi / 2
        x, y = 2 + 1.25 * r, 1 + 1.75 * r
        return np.column_stack((x * np.cos(a), y * np.sin(a), 0.6 * p[:, 2]))

    def outer(upper: bool) -> Surface:
        def distance(p: Floats) -> Floats:
            ellipse = (p[:, 0] / 3.25) ** 2 + (p[:, 1] / 2.75) ** 2 - 1
            beyond = (0.3 - p[:, 2]) if upper else (p[:, 2] - 0.3)
            return np.abs(ellipse) + np.maximum(beyond, 0)

        return Surface(distance)

    n = 8 * level
    halves = {"upper": outer(True), "lower": outer(False)}
    mesh = brick_mesh((n, n, 4 * level), place, halves)
    material = steel(mesh, isotropic(210e9, 0.3, 7800.0))
    held = [
        Support(("y0",), x=False, z=False),
        Support(("y1",), y=False, z=False),
        Support(("x1",), z=False),
        Support(("upper", "lower"), x=False, y=False, shared=True),
    ]
    case = SolidCase("pressure", (Pressure("z1", 1e6),))
    found = static(build(mesh, material, held), [case])
    stress = recover(mesh, material, found.displacements[0])
    return 1.25 / n, [float(stress.nodes[node_at(mesh, (2.0, 0.0, 0.6)), 1])]


def _le11_section(t: Floats) -> tuple[Floats, Floats]:
    """Inner and outer (n, 2) points r, z along the profile, t in 0..4."""
    inner_angle = np.minimum(t, 2) * np.pi / 8
    s = np.maximum(t - 2, 0)
    inner_z = np.where(t <= 2, np.sin(inner_angle), np.interp(s, [0, 1, 2], [0.5**0.5, 1.39, 1.79]))
    inner = np.column_stack((np.where(t <= 2, np.cos(inner_angle), 0.5**0.5), inner_z))
    arc = np.minimum(t, 1) * np.pi / 6
    # D (1.4 cos 30, 0.7), F half-way to G, G (1, 1.39), J (1, 1.79)
    d = 1.4 * np.cos(np.pi / 6)
    r = np.where(t <= 1, 1.4 * np.cos(arc), np.interp(t, [1, 2, 3, 4], [d, (d + 1) / 2, 1, 1]))
    z = np.where(t <= 1, 1.4 * np.sin(arc), np.interp(t, [1, 2, 3, 4], [0.7, 1.045, 1.39, 1.79]))
    return inner, np.column_stack((r, z))


def le11(level: int) -> tuple[float, list[float]]:
    """sigma_zz at A, Pa."""

    def place(p: Floats) -> Floats:
        inner, outer = _le11_section(4 * p[:, 2])
        section = inner + p[:, :1] * (outer - inner)
        return polar(section[:, 0], p[:, 1] * np.pi / 2, section[:, 1])

    mesh = brick_mesh((3 * level, 8 * level, 12 * level), place)
    material = steel(mesh, isotropic(210e9, 0.3, 7800.0, expansion=2.3e-4))
    held = [
        Support(("y0",), x=False, z=False),
        Support(("y1",), y=False, z=False),
        Support(("z0", "z1"), x=False, y=False),
    ]
    rise = np.hypot(mesh.nodes[:, 0], mesh.nodes[:, 1]) + mesh.nodes[:, 2]
    case = SolidCase("heat", rise=rise)
    found = static(build(mesh, material, held), [case])
    stress = recover(mesh, material, found.displacements[0], rise)
    return 0.4 / (3 * level), [float(stress.nodes[node_at(mesh, (1.0, 0.0, 0.0)), 2])]


LAME_P, LAME_A, LAME_B, LAME_E, LAME_NU = 1e6, 1.0, 2.0, 3e9, 0.35


def lame(level: int) -> tuple[float, list[float]]:
    """Radial displacement, m, and hoop stress, Pa, at the bore."""
    n = 6 * level
    mesh = brick_mesh(
        (n, 2 * n, 1),
        lambda p: polar(1 + p[:, 0] ** 1.3, p[:, 1] * np.pi / 2, 0.2 * p[:, 2]),
    )
    material = steel(mesh, isotropic(LAME_E, LAME_NU, 1000.0))
    held = [
        Support(("y0",), x=False, z=False),
        Support(("y1",), y=False, z=False),
        Support(("z0", "z1"), x=False, y=False),
    ]
    case = SolidCase("pressure", (Pressure("x0", LAME_P),))
    found = static(build(mesh, material, held), [case])
    stress = recover(mesh, material, found.displacements[0])
    at = node_at(mesh, (1.0, 0.0, 0.0))
    return 1.0 / n, [float(found.displacements[0, at, 0]), float(stress.nodes[at, 1])]


KIRSCH_REACH = 20.0


def kirsch(level: int) -> tuple[float, list[float]]:
    """Hoop stress beside and on top of the hole over the remote tension, 1."""
    n = 16 * level

    def place(p: Floats) -> Floats:
        return polar(KIRSCH_REACH ** p[:, 0], p[:, 1] * np.pi / 2, 0.1 * p[:, 2])

    mesh = brick_mesh((n, n, 1), place)
    material = steel(mesh, isotropic(3e9, 0.0, 1000.0))
    held = [
        Support(("y0",), x=False, z=False),
        Support(("y1",), y=False, z=False),
        Support(("z0",), x=False, y=False),
    ]
    case = SolidCase("tension along x", (FaceStress("x1", np.diag([1.0, 0.0, 0.0])),))
    found = static(build(mesh, material, held), [case])
    stress = recover(mesh, material, found.displacements[0])
    top, side = node_at(mesh, (0.0, 1.0, 0.0)), node_at(mesh, (1.0, 0.0, 0.0))
    return 1.0 / n, [float(stress.nodes[top, 0]), float(stress.nodes[side, 1])]


CURVED_A, CURVED_B, CURVED_T = 1.0, 2.0, 0.2


def golovin(r: float) -> float:
    """Hoop stress of a curved bar in pure bending per unit moment and thickness, 1/m2."""
    a, b = CURVED_A, CURVED_B
    log = np.log(b / a)
    N = (b**2 - a**2) ** 2 - 4 * a**2 * b**2 * log**2
    inside = -(a**2) * b**2 / r**2 * log + b**2 * np.log(r / b) + a**2 * np.log(a / r)
    return float(-4 / N * (inside + b**2 - a**2))


def curved(level: int) -> tuple[float, list[float]]:
    """Hoop stress at the inner and outer edge at 90 degrees from the loaded end, Pa."""
    n = 6 * level
    mesh = brick_mesh(
        (n, 2 * n, 1),
        lambda p: polar(1 + p[:, 0], p[:, 1] * np.pi / 2, CURVED_T * p[:, 2]),
    )
    material = steel(mesh, isotropic(3e9, 0.0, 1000.0))
    held = [
        Support(("y0",), x=False, z=False),
        Support(("y0", "x0"), y=False, z=False, shared=True),
        Support(("z0",), x=False, y=False),
    ]
    # this sense opens the bar: tension inside
    moment = FaceLoad("y1", np.zeros(3), np.array([0.0, 1.5, 0.1]), np.array([0.0, 0.0, -CURVED_T]))
    found = static(build(mesh, material, held), [SolidCase("bending", (moment,))])
    stress = recover(mesh, material, found.displacements[0])
    ends = node_at(mesh, (1.0, 0.0, 0.0)), node_at(mesh, (2.0, 0.0, 0.0))
    return 1.0 / n, [float(stress.nodes[at, 1]) for at in ends]


TORSION = {1.0: 0.1406, 2.0: 0.2287, 4.0: 0.2808}
"""Side ratio to J / (a b^3)."""


def torsion(level: int) -> tuple[float, list[float]]:
    """J / (a b^3) of three rectangles from the twist between two sections far from the ends."""
    found = []
    for ratio in TORSION:
        a, b, length = 0.01 * ratio, 0.01, 0.01 * ratio * 6
        n = 2 * level
        counts = (16 * level, max(n, round(n * ratio)), n)
        mesh = brick_mesh(counts, lambda p, s=(length, a, b): p * s - [0.0, s[1] / 2, s[2] / 2])
        material = steel(mesh, isotropic(3e9, 0.35, 1000.0))
        ends = [
            FaceLoad(face, np.zeros(3), np.zeros(3), np.array([sign, 0.0, 0.0]))
            for face, sign in (("x1", 1.0), ("x0", -1.0))
        ]
        system = build(mesh, material)
        moved = static(system, [SolidCase("twist", tuple(ends))]).displacements
        stations = np.array([0.375, 0.625]) * length
        motion = section_motion(system, moved, np.zeros(3), np.eye(3)[0], stations, 1e-9)
        twist = (motion[0, 1, 3] - motion[0, 0, 3]) / (stations[1] - stations[0])
        G = 3e9 / (2 * 1.35)
        found.append(1.0 / (G * twist * a * b**3))
    return 0.005 / level, found


ENTRIES = (
    Entry(
        "le10", "Thick elliptic plate under pressure (LE10)",
        "Quarter of an elliptic plate 0.6 m thick with an elliptic hole, E = 210 GPa, nu = 0.3; "
        "1 MPa on the upper face; symmetry planes held square, outer face held in x and y and, "
        "along its middle line, in z.",
        f"{TNSB}, LE10, as quoted in open finite-element test suites",
        "Stress at one point at the edge of a hole; 5 % is customary for quadratic elements.",
        (Target("sigma_yy at D (2, 0, 0.6)", -5.38e6, "Pa", 0.05),), le10,
    ),
    Entry(
        "le11", "Cylinder, taper and sphere under heat (LE11)",
        "Turned solid, E = 210 GPa, nu = 0.3, expansion 2.3e-4 1/K, temperature rise r + z degC; "
        "both ends held along the axis.",
        f"{TNSB}, LE11, as quoted in open finite-element test suites",
        "Stress at one point on the surface; codes quoted beside it lie within 3 %.",
        (Target("sigma_zz at A (1, 0, 0)", -105e6, "Pa", 0.05),), le11,
    ),
    Entry(
        "lame", "Thick cylinder under pressure",
        "Bore 1 m, outside 2 m, plane strain, E = 3 GPa, nu = 0.35, 1 MPa inside.",
        "Lame's solution; Timoshenko and Goodier, Theory of Elasticity, stresses symmetrical "
        "about an axis",
        "Displacement converges fast; a surface stress by averaging at nodes is of second order.",
        (
            Target(
                "radial displacement at the bore",
                LAME_P * LAME_A * (1 + LAME_NU) / (LAME_E * (LAME_B**2 - LAME_A**2))
                * ((1 - 2 * LAME_NU) * LAME_A**2 + LAME_B**2), "m", 0.002,
            ),
            Target(
                "hoop stress at the bore",
                LAME_P * (LAME_B**2 + LAME_A**2) / (LAME_B**2 - LAME_A**2), "Pa", 0.02,
            ),
        ), lame,
    ),
    Entry(
        "kirsch", "Hole in a wide plate",
        f"Ring from the hole's edge to {KIRSCH_REACH:.0f} radii, uniform tension along x applied "
        "as traction at the outer edge, nu = 0.",
        "Kirsch's solution; Timoshenko and Goodier, Theory of Elasticity, effect of circular "
        "holes: 3 and -1 times the tension",
        "The outer edge at 20 radii raises the peak by 0.9 %: 3.3 % at 10 and 0.25 % at 40 radii, "
        "as the square of the ratio.",
        (Target("beside the hole", 3.0, "1", 0.02), Target("in line", -1.0, "1", 0.03)), kirsch,
    ),
    Entry(
        "curved", "Curved bar in pure bending",
        "Quarter ring, radii 1 and 2 m, 0.2 m thick, unit moment per unit thickness on one end, "
        "the other held by symmetry, nu = 0.",
        "Golovin's solution; Timoshenko and Goodier, Theory of Elasticity, pure bending of "
        "curved bars",
        "Surface stress by averaging at nodes; the straight-line theory would be 23 % off inside.",
        (
            Target("inner edge", golovin(CURVED_A), "Pa", 0.02),
            Target("outer edge", golovin(CURVED_B), "Pa", 0.02),
        ), curved,
    ),
    Entry(
        "torsion", "Torsion constant of rectangles",
        "Free prisms six sides long, opposite end moments; J from the twist over the middle "
        "quarter, E = 3 GPa, nu = 0.35.",
        "Saint-Venant's series; Timoshenko and Goodier, Theory of Elasticity, torsion of "
        "rectangular bars",
        "The table gives four digits; the ends' disturbance has died out in the middle quarter.",
        tuple(Target(f"side ratio {r:.0f}", v, "1", 0.005) for r, v in TORSION.items()), torsion,
    ),
)  # fmt: skip
