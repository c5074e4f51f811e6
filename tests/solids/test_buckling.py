"""Buckling of solids: what a factor must do whatever the part, and the same through CalculiX.

Closed forms are in ``tests/verification/buckling_cases.py``.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from refledge.errors import AnalysisError
from refledge.solids import calculix, lanczos
from refledge.solids.blocks import brick_mesh
from refledge.solids.buckling import Buckled, buckled, geometric_stiffness
from refledge.solids.cases import FaceLoad, FaceSpring, SolidCase, Support
from refledge.solids.law import Plastic
from refledge.solids.levers import lever
from refledge.solids.mesh import SolidMesh
from refledge.solids.static import case_load, static
from refledge.solids.system import System, build
from refledge.typed import Floats
from tests.solids.bars import HEIGHT, LENGTH, PLAIN, WIDTH, bar, plain

MESH = bar((12, 2, 2))
CLAMP = [Support(("x0",))]
TIP = np.array([LENGTH, WIDTH / 2, HEIGHT / 2])
SYSTEM = build(MESH, plain(MESH), CLAMP)
LAYERED = Plastic(
    E_xy=2.0e9, E_z=1.6e9, nu_xy=0.35, nu_xz=0.35, G_xz=0.6e9, rho=1100.0,
    strength_xy=40e6, strength_z=20e6, shear_z=15e6,
)  # fmt: skip


def moved(force: Floats, system: System = SYSTEM) -> Floats:
    """(n, 3), m, under a force on the end."""
    case = SolidCase("tip", (FaceLoad("x1", np.asarray(force), TIP),))
    return static(system, [case]).displacements[0]


def test_a_load_turned_round_swaps_the_two_uses() -> None:
    force = np.array([-3.0, 1.0, 2.0])
    one = buckled(SYSTEM, moved(force), both=True)
    other = buckled(SYSTEM, moved(-force), both=True)
    assert one.use == pytest.approx(other.against, rel=1e-6)
    assert one.against == pytest.approx(other.use, rel=1e-6)
    assert one.use > 1.1 * one.against


def test_a_pull_does_not_buckle() -> None:
    found = buckled(SYSTEM, moved([5.0, 0, 0]), both=True)
    assert found.use < 1e-3 * found.against
    assert found.factor > 1e3


def test_uses_go_with_the_load_and_never_beyond_the_sum_of_its_parts() -> None:
    """Papkovich: loads that do not buckle form a convex set."""
    forces = np.random.default_rng(5).normal(size=(4, 3)) * [20.0, 1.0, 1.0]
    parts = [buckled(SYSTEM, moved(each)).use for each in forces]
    assert buckled(SYSTEM, moved(3 * forces[0])).use == pytest.approx(3 * parts[0], rel=1e-6)
    for a in range(3):
        both = buckled(SYSTEM, moved(forces[a] + forces[a + 1])).use
        assert both <= parts[a] + parts[a + 1] + 1e-9


def test_a_uniform_stress_works_on_linear_motion_exactly() -> None:
    """v' K_s v = V tr(g s g') for v = g x, on a crooked mesh."""
    rng = np.random.default_rng(2)
    nodes = MESH.nodes + 0.0
    nodes[: MESH.corners] += 4e-4 * rng.uniform(-1, 1, (MESH.corners, 3))
    ends = ((0, 1), (1, 2), (2, 0), (0, 3), (1, 3), (2, 3))
    for middle, (a, b) in enumerate(ends):
        nodes[MESH.tets[:, 4 + middle]] = (nodes[MESH.tets[:, a]] + nodes[MESH.tets[:, b]]) / 2
    crooked = replace(MESH, nodes=nodes)
    g, s = rng.normal(size=(3, 3)), rng.normal(size=(3, 3))
    s = s + s.T
    voigt = s[[0, 1, 2, 1, 0, 0], [0, 1, 2, 2, 2, 1]]
    S = geometric_stiffness(crooked, np.broadcast_to(voigt, (len(MESH.tets), 4, 6)))
    v = nodes @ g.T
    volume = float(np.sum(mass_of(crooked)))
    assert np.sum(v * (S @ v)) == pytest.approx(volume * np.trace(g @ s @ g.T), rel=1e-9)
    assert abs(S - S.T).max() < 1e-12 * abs(S).max()


def mass_of(mesh: SolidMesh) -> Floats:
    """Volumes, by a density of one."""
    return np.asarray(build(mesh, plain(mesh), CLAMP).matrices.mass.sum(axis=1)) / PLAIN.rho


def test_infill_carries_and_resists_by_its_share() -> None:
    material = plain(MESH)
    half = build(MESH, replace(material, share=0.5 * material.share), CLAMP)
    whole = buckled(SYSTEM, moved([-1.0, 0, 0])).factor
    assert buckled(half, moved([-1.0, 0, 0], half)).factor == pytest.approx(whole / 2, rel=1e-6)


def test_heat_buckles_a_bar_held_at_both_ends() -> None:
    """E A alpha dT = 4 pi^2 E I / L^2 (Timoshenko and Gere, columns with built-in ends)."""
    alpha = 1e-4
    hot = replace(plain(MESH), expansion=np.array([alpha]))
    system = build(MESH, hot, [Support(("x0",)), Support(("x1",))])
    rise = np.ones(len(MESH.nodes))
    found = static(system, [SolidCase("hot", rise=rise)])
    factor = buckled(system, found.displacements[0], rise).factor
    wanted = 4 * np.pi**2 * HEIGHT**2 / 12 / LENGTH**2 / alpha
    shear = 1 + 1.2 * 2 * alpha * wanted  # Engesser, G = E / 2
    assert factor == pytest.approx(wanted / shear, rel=0.015)


def test_a_body_that_floats_is_refused() -> None:
    with pytest.raises(AnalysisError, match="held parts only"):
        buckled(build(MESH, plain(MESH)), np.zeros((len(MESH.nodes), 3)))


def test_a_search_cut_short_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lanczos, "MOST_STEPS", 2)
    with pytest.raises(AnalysisError, match="buckling did not converge"):
        buckled(SYSTEM, moved([0, 0, 1.0]))


@pytest.mark.skipif(not calculix.available(), reason="needs the package calculix-ccx")
def test_layered_plastic_agrees_with_calculix(tmp_path: Path) -> None:
    system = build(MESH, plain(MESH, LAYERED), CLAMP)
    case = SolidCase("tip", (FaceLoad("x1", np.array([-5.0, 1.0, 2.0]), TIP),))
    ours = buckled(system, static(system, [case]).displacements[0]).factor
    (theirs,) = calculix.buckling_factors(system, case_load(system, case), tmp_path, 1)
    assert ours == pytest.approx(theirs, rel=1e-6)


def post(far: float) -> Buckled:
    """A stiff post on a hinge with a weak spring, pressed on a rigid lever that ends ``far`` m from
    the hinge."""
    spring = FaceSpring("x0", np.diag([1e9, 1e9, 1e9, 1e5, STIFF, 3 * STIFF]))
    system = build(MESH, plain(MESH), (), (), [spring])
    at = np.array([far, WIDTH / 2, HEIGHT / 2])
    push = FaceLoad("x1", np.array([-1.0, 0.0, 0.0]), at)
    u = static(system, [SolidCase("push", (push,))]).displacements[0]
    return buckled(system, u, None, [lever(MESH, push)], both=True)


STIFF = 0.01
"""N m/rad, a thousandth of the post's own."""


@pytest.mark.parametrize("far", [0.5, LENGTH, 0.05])
def test_a_post_on_a_spring_tips_over_by_the_height_of_its_load(far: float) -> None:
    """P = k / h of a rigid post (Timoshenko and Gere, bars on elastic hinges)."""
    assert post(far).factor == pytest.approx(STIFF / far, rel=5e-3)


def test_a_load_that_hangs_below_the_hinge_holds_it_upright() -> None:
    found = post(-0.3)
    assert found.use < 1e-3 * found.against
    assert found.against == pytest.approx(0.3 / STIFF, rel=5e-3)


def test_a_strip_loaded_above_its_middle_tips_over_sooner() -> None:
    """P = P0 (1 - a / L sqrt(E I / (G J))) for small a (Timoshenko and Gere, lateral buckling)."""
    long, thick, high = 0.3, 0.003, 0.015
    mesh = brick_mesh((40, 1, 2), lambda p: p * [long, thick, high])
    system = build(mesh, plain(mesh), CLAMP)
    found = []
    for above in (-0.005, 0.005):
        at = np.array([long, thick / 2, high / 2 + above])
        down = FaceLoad("x1", np.array([0.0, 0.0, -1.0]), at)
        u = static(system, [SolidCase("down", (down,))]).displacements[0]
        found.append(buckled(system, u, None, [lever(mesh, down)]).factor)
    twist = 4 * (1 - 0.63 * thick / high) / 2  # G J / (E I) with G = E / 2
    share = 0.005 / long / np.sqrt(twist)
    assert found[1] / found[0] == pytest.approx((1 - share) / (1 + share), rel=2e-3)
