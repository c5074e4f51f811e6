"""Closed-form problems of buckling."""

import numpy as np

from refledge.solids.blocks import brick_mesh
from refledge.solids.buckling import Buckled, buckled
from refledge.solids.cases import FaceLoad, FaceStress, SolidCase, Support
from refledge.solids.law import isotropic
from refledge.solids.mesh import SolidMesh
from refledge.solids.static import static
from refledge.solids.system import build
from tests.verification.book import Entry, Target, steel

THEORY = "Timoshenko and Gere, Theory of Elastic Stability (from memory)"
E, NU = 3e9, 0.35


def _pressed(
    mesh: SolidMesh, supports: list[Support], load: FaceLoad | FaceStress, nu: float
) -> Buckled:
    system = build(mesh, steel(mesh, isotropic(E, nu, 1240.0)), supports)
    found = static(system, [SolidCase("unit", (load,))])
    return buckled(system, found.displacements[0], both=True)


COLUMN_L, COLUMN_B, COLUMN_H = 0.2, 0.02, 0.01


def column(level: int) -> tuple[float, list[float]]:
    """Clamped at its foot, pressed at its free end."""
    n = (8, 16)[level - 1]
    mesh = brick_mesh((n, 2, n // 4), lambda p: p * [COLUMN_L, COLUMN_B, COLUMN_H])
    push = FaceLoad("x1", np.array([-1.0, 0, 0]), np.array([COLUMN_L, COLUMN_B / 2, COLUMN_H / 2]))
    return COLUMN_L / n, [_pressed(mesh, [Support(("x0",))], push, 0.0).factor]


def column_target() -> float:
    """pi^2 E I / (4 L^2), less what shear takes: P / (1 + 1.2 P / (G A))."""
    area = COLUMN_B * COLUMN_H
    euler = np.pi**2 * E * area * COLUMN_H**2 / 12 / (4 * COLUMN_L**2)
    return float(euler / (1 + 1.2 * euler / (E / 2 * area)))


PLATE_A, PLATE_T = 0.1, 0.0005


def plate(level: int) -> tuple[float, list[float]]:
    """A quarter of the plate, its middle lines being planes of symmetry."""
    n = (12, 20)[level - 1]
    mesh = brick_mesh((n, n, 1), lambda p: p * [PLATE_A / 2, PLATE_A / 2, PLATE_T])
    held = [
        Support(("x0", "y0"), x=False, y=False),
        Support(("x1",), y=False, z=False),
        Support(("y1",), x=False, z=False),
    ]
    pressed = FaceStress("x0", np.diag([-1.0, 0.0, 0.0]))
    return PLATE_A / 2 / n, [_pressed(mesh, held, pressed, NU).factor]


def plate_target() -> float:
    """Stress, Pa: 4 pi^2 E / (12 (1 - nu^2)) (t / a)^2."""
    return float(4 * np.pi**2 * E / (12 * (1 - NU**2)) * (PLATE_T / PLATE_A) ** 2)


STRIP_L, STRIP_B, STRIP_H = 0.3, 0.003, 0.015


def strip(level: int) -> tuple[float, list[float]]:
    """Pulled down and up at the middle of its end, high edge upright."""
    n, across, high = ((40, 1, 2), (80, 2, 4))[level - 1]
    mesh = brick_mesh((n, across, high), lambda p: p * [STRIP_L, STRIP_B, STRIP_H])
    at = np.array([STRIP_L, STRIP_B / 2, STRIP_H / 2])
    pull = FaceLoad("x1", np.array([0.0, 0.0, -1.0]), at)
    found = _pressed(mesh, [Support(("x0",))], pull, 0.0)
    return STRIP_L / n, [found.factor, 1 / found.against]


def strip_target() -> float:
    """4.013 sqrt(E I G J) / (L - d)^2, J of a narrow rectangle less its ends' share.

    d = sqrt(E C_w / (G J)) is what a clamp that cannot warp takes off the length, with C_w =
    (b h)^3 / 144 of a narrow rectangle (the same book's cantilevers of I section).
    """
    b, h, G = STRIP_B, STRIP_H, E / 2
    GJ = G * h * b**3 / 3 * (1 - 0.630 * b / h)
    free = STRIP_L - np.sqrt(E * (b * h) ** 3 / 144 / GJ)
    return float(4.013 * np.sqrt(E * h * b**3 / 12 * GJ) / free**2)


ENTRIES = (
    Entry(
        "column", "Column on its foot",
        "200 x 20 x 10 mm, E = 3 GPa, nu = 0; one end clamped, 1 N along it on the other.",
        f"Euler's load pi^2 EI / (4 L^2) with shear's share (Engesser), {THEORY}",
        "A beam's theory against a solid whose clamp holds all of its foot.",
        (Target("load factor", column_target(), "1", 0.002),), column,
    ),
    Entry(
        "plate", "Square plate pressed at two sides",
        "100 x 100 x 0.5 mm, E = 3 GPa, nu = 0.35; its edges stay in their plane and turn freely; "
        "1 Pa on two of them.",
        f"4 pi^2 E / (12 (1 - nu^2)) (t / a)^2, {THEORY}",
        "Thin-plate theory at a two-hundredth of the side; that its edges may twist makes the "
        "solid softer, by 1.5 % at twice the thickness.",
        (Target("load factor", plate_target(), "1", 0.015),), plate,
    ),
    Entry(
        "strip", "High strip that tips over sideways",
        "300 x 15 x 3 mm, E = 3 GPa, nu = 0; clamped upright at one end, 1 N down, and up, in the "
        "middle of the other.",
        f"4.013 sqrt(E I G J) / L^2, L less what the clamp holds from warping (1.1 %), {THEORY}",
        "The theory bends the strip as a line; the finer of the meshes has two elements across.",
        (
            Target("load factor, down", strip_target(), "1", 0.01),
            Target("load factor, up", strip_target(), "1", 0.01),
        ), strip,
    ),
)  # fmt: skip
