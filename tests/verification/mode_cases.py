"""Published and closed-form problems of natural modes."""

import numpy as np

from refledge.solids.blocks import brick_mesh
from refledge.solids.cases import FaceSpring, PointMass, Support
from refledge.solids.law import isotropic
from refledge.solids.mesh import SolidMesh
from refledge.solids.modal import modes
from refledge.solids.system import build
from refledge.typed import Floats
from tests.verification.book import Entry, Target, steel

TNSB = "The Standard NAFEMS Benchmarks, TNSB Rev. 3 (1990)"
STEEL = isotropic(200e9, 0.3, 8000.0)


def _thick_plate(level: int) -> tuple[int, SolidMesh]:
    n, layers = ((5, 2), (8, 3), (14, 3))[level - 1]
    return n, brick_mesh((n, n, layers), lambda p: p * [10.0, 10.0, 1.0])


def fv52(level: int) -> tuple[float, list[float]]:
    """Seven elastic modes; the plate slides and turns freely in its plane."""
    n, mesh = _thick_plate(level)
    sides = Support(("x0", "x1", "y0", "y1"), x=False, y=False)
    system = build(mesh, steel(mesh, STEEL), [sides], may_slide=True)
    return 10.0 / n, [float(f) for f in modes(system, 7).frequencies]


def hard_plate(level: int) -> tuple[float, list[float]]:
    """Bending modes with the sides also held along themselves, as in the closed form."""
    n, mesh = _thick_plate(level + 1)
    held = [Support(("x0", "x1"), x=False), Support(("y0", "y1"), y=False)]
    found = modes(build(mesh, steel(mesh, STEEL), held), 7)
    middle = np.abs(mesh.nodes[:, 2] - 0.5) < 1e-9
    lifted = np.abs(found.shapes[:, middle, 2]).max(axis=1)
    slid = np.linalg.norm(found.shapes[:, middle, :2], axis=2).max(axis=1)
    bending = found.frequencies[lifted > slid][:4]
    return 10.0 / n, [float(f) for f in bending]


def fv12(level: int) -> tuple[float, list[float]]:
    """Modes 4 to 11 of a free plate, after six rigid ones."""
    n = 16 * level
    mesh = brick_mesh((n, n, 1), lambda p: p * [10.0, 10.0, 0.05])
    return 10.0 / n, [float(f) for f in modes(build(mesh, steel(mesh, STEEL)), 8).frequencies]


def fv5(level: int) -> tuple[float, list[float]]:
    """Flexure (two of each, the mean), axial, flexure again."""
    mesh = brick_mesh((10 * level, 2 * level, 2 * level), lambda p: p * [10.0, 2.0, 2.0])
    stiff = 1e14  # N/m, far above the beam's 8e10
    hinges = [
        FaceSpring("x0", np.diag([stiff, stiff, stiff, stiff, 0.0, 0.0])),
        FaceSpring("x1", np.diag([0.0, stiff, stiff, 0.0, 0.0, 0.0])),
    ]
    found = modes(build(mesh, steel(mesh, STEEL), (), (), hinges), 7)
    f = found.frequencies
    axial = int(np.argmax(found.effective_mass()[:, 0]))
    carried = found.effective_mass()
    bending = [k for k in range(7) if k != axial and max(carried[k, 1:]) > 0.0]
    torsion = _twisting(found.shapes, mesh.nodes)
    bending = [k for k in bending if k not in torsion]
    return 1.0 / level, [
        float(f[bending[:2]].mean()), float(f[axial]), float(f[bending[2:4]].mean()),
    ]  # fmt: skip


def _twisting(shapes: Floats, nodes: Floats) -> list[int]:
    """Modes whose mean line hardly moves against their corners."""
    middle = np.linalg.norm(nodes[:, 1:] - 1.0, axis=1) < 1e-9
    moved = np.linalg.norm(shapes, axis=2)
    return [k for k in range(len(shapes)) if moved[k, middle].max() < 0.05 * moved[k].max()]


TIP_E, TIP_RHO, TIP_B, TIP_H, TIP_L, TIP_MASS = 3e9, 1240.0, 0.020, 0.010, 0.150, 0.050


def tip_mass(level: int) -> tuple[float, list[float]]:
    """First bending mode bare and with the mass at the tip."""
    mesh = brick_mesh((10 * level, 2, level), lambda p: p * [TIP_L, TIP_B, TIP_H])
    material = steel(mesh, isotropic(TIP_E, 0.0, TIP_RHO))
    centre = np.array([TIP_L, TIP_B / 2, TIP_H / 2])
    found = [
        float(modes(build(mesh, material, [Support(("x0",))], masses), 1).frequencies[0])
        for masses in ([], [PointMass("x1", TIP_MASS, centre)])
    ]
    return TIP_L / (10 * level), found


ENTRIES = (
    Entry(
        "fv52", "Simply supported thick plate (FV52)",
        "10 x 10 x 1 m, E = 200 GPa, nu = 0.3, 8000 kg/m3; the four side faces held in z; three "
        "rigid motions in the plane left free.",
        f"{TNSB}, FV52, three-dimensional reference, as quoted in Code_Aster V2.03.502",
        "The reference claims 2 %; from memory it is a figure of 8 x 8 x 3 quadratic bricks, so "
        "our finer mesh has as many divisions. At 24 divisions ours are 44.20, 107.4 and 163.3 Hz, "
        "1 to 3 % lower: the next entry shows that our plates do converge to the closed form.",
        tuple(
            Target(f"mode {k}", f, "Hz", 0.02)
            for k, f in enumerate((44.762, 110.52, 110.52, 169.08, 193.93, 206.64, 206.64), 4)
        ), fv52,
    ),
    Entry(
        "thick-plate", "Thick plate, sides held along themselves",
        "As FV52, the side faces held in z and along their own direction.",
        "Closed form of thick-plate theory (out of plane), as quoted for FV52 in open test suites",
        "Plate theory with a shear factor against a solid at a tenth of the side.",
        tuple(
            Target(f"bending mode {k}", f, "Hz", 0.01)
            for k, f in enumerate((45.897, 109.44, 109.44, 167.89), 1)
        ), hard_plate,
    ),
    Entry(
        "fv12", "Free thin square plate (FV12)",
        "10 x 10 x 0.05 m, E = 200 GPa, nu = 0.3, 8000 kg/m3, nothing held.",
        f"{TNSB}, FV12, converged finite-element reference as quoted in open test suites",
        "Converged plate theory, thickness 1/200 of the side.",
        tuple(
            Target(f"mode {k}", f, "Hz", 0.01)
            for k, f in enumerate((1.622, 2.360, 2.922, 4.190, 4.190, 7.356, 7.356, 7.668), 7)
        ), fv12,
    ),
    Entry(
        "fv5", "Deep simply supported beam (FV5) by solids",
        "10 x 2 x 2 m, E = 200 GPa, nu = 0.3, 8000 kg/m3; hinges on the mean motion of the ends.",
        "FV5 closed-form set (Timoshenko's beam with shear factor 0.85), as quoted by a "
        "pipe-stress program's verification page",
        "Beam theory against a solid at a depth of a fifth of the span.",
        (
            Target("first flexure", 42.650, "Hz", 0.01),
            Target("axial", 125.00, "Hz", 0.005),
            Target("second flexure", 148.15, "Hz", 0.01),
        ), fv5,
    ),
    Entry(
        "tip-mass", "Cantilever with a mass at its tip",
        "E = 3 GPa, 1240 kg/m3, 20 x 10 x 150 mm, nu = 0; bare and with 50 g on its end face.",
        "1 + cos b cosh b + mu b (cos b sinh b - sin b cosh b) = 0; Blevins, Formulas for Natural "
        "Frequency and Mode Shape, beams with masses",
        "Euler's beam leaves out shear: 0.3 % at a depth of a fifteenth of the length.",
        (
            Target("bare", 111.673, "Hz", 0.005), Target("with the mass", 43.754, "Hz", 0.005),
        ), tip_mass,
    ),
)  # fmt: skip
