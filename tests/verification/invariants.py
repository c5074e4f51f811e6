"""Orders of convergence and exact invariants of the solid solver, for tests and the book."""

import numpy as np
from scipy.spatial.transform import Rotation

from refledge.solids import element
from refledge.solids.assembly import Material, dofs
from refledge.solids.blocks import SIDES, brick_mesh
from refledge.solids.cases import FaceLoad, FaceStress, SolidCase, Support
from refledge.solids.law import layer_axes, rotated
from refledge.solids.mesh import SolidMesh
from refledge.solids.static import static
from refledge.solids.stress import recover
from refledge.solids.system import build
from refledge.typed import Floats
from tests.solids.arm_part import PETG

NORMAL = np.array([0.3, -0.5, 0.8])


def layered(mesh: SolidMesh, axes: Floats) -> Material:
    m = len(mesh.tets)
    law = rotated(PETG.stiffness(), axes)[None]
    return Material(law, np.full(m, PETG.rho), np.ones((m, 4)), np.zeros(1))


def shaken(counts: int) -> SolidMesh:
    """Unit cube whose inner corners are moved at random by up to a sixth of a cell."""
    random = np.random.default_rng(3)

    def place(p: Floats) -> Floats:
        inside = np.all((p > 1e-9) & (p < 1 - 1e-9), axis=1)
        return p + inside[:, None] * random.uniform(-1, 1, p.shape) / (6 * counts)

    return brick_mesh((counts,) * 3, place)


def patch_error() -> float:
    """Greatest relative error of stress on an irregular mesh under a uniform stress."""
    mesh = shaken(3)
    stress = np.array([[3.0, 1, -2], [1, -1, 0.5], [-2, 0.5, 2]]) * 1e6
    material = layered(mesh, layer_axes(NORMAL))
    loads = tuple(FaceStress(side, stress) for side in SIDES)
    found = static(build(mesh, material), [SolidCase("uniform", loads)])
    expected = stress[[0, 1, 2, 1, 0, 0], [0, 1, 2, 2, 2, 1]]
    got = recover(mesh, material, found.displacements[0]).corners
    return float(np.max(np.abs(got - expected)) / np.max(np.abs(expected)))


def rotation_error() -> float:
    """Relative change of the displacements when part, law and load are turned together."""
    Q = Rotation.from_rotvec([0.4, -1.1, 0.7]).as_matrix()
    first, second = (_bent(turn) for turn in (np.eye(3), Q))
    return float(np.max(np.abs(second @ Q - first)) / np.max(np.abs(first)))


def _bent(turn: Floats) -> Floats:
    mesh = brick_mesh((6, 2, 2), lambda p: (p * [0.2, 0.03, 0.02]) @ turn.T)
    axes = layer_axes(NORMAL) @ turn.T
    tip = turn @ np.array([0.2, 0.01, 0.03])
    load = FaceLoad("x1", turn @ np.array([1.0, 2.0, 3.0]), tip)
    system = build(mesh, layered(mesh, axes), [Support(("x0",))])
    return static(system, [SolidCase("tip", (load,))]).displacements[0]


def errors(counts: int) -> tuple[float, float]:
    """L2 error of displacement and of stress, relative, on a smooth problem with a known answer.

    u = (1, -2, 1.5) sin(pi x) sin(pi y) sin(pi z) on the unit cube, held all round; the body force
    that it needs follows from the law by differentiating twice.
    """
    mesh = shaken(counts)
    material = layered(mesh, layer_axes(NORMAL))
    system = build(mesh, material, [Support(SIDES)])
    points, weights = element.collapsed_rule(3, 4)
    flat, volume = element.barycentric_gradients(mesh.nodes, mesh.tets)
    at = np.einsum("qk,mkx->mqx", points, mesh.nodes[mesh.tets[:, :4]])
    N = element.shapes(points)
    w = volume[:, None] * weights
    load = np.einsum("mq,qa,mqx->max", w, N, _force(at, material.stiffness[0]))
    force = np.bincount(dofs(mesh.tets).ravel(), load.ravel(), minlength=mesh.dofs)
    u = system.solve(force).reshape(-1, 3)
    exact, slope = _exact(at)
    off = np.einsum("qa,max->mqx", N, u[mesh.tets]) - exact
    grad = np.einsum("mqaj,mai->mqij", element.gradients(flat, points), u[mesh.tets])
    stress, wanted = (_stress(g, material.stiffness[0]) for g in (grad, slope))
    return _norm(off, w) / _norm(exact, w), _norm(stress - wanted, w) / _norm(wanted, w)


def orders() -> tuple[float, float]:
    """Observed orders in displacement and stress between two meshes, 1."""
    coarse, fine = errors(4), errors(8)
    return tuple(float(np.log2(a / b)) for a, b in zip(coarse, fine, strict=True))  # type: ignore[return-value]


_AMPLITUDE = np.array([1.0, -2.0, 1.5])


def _exact(x: Floats) -> tuple[Floats, Floats]:
    s, c = np.sin(np.pi * x), np.pi * np.cos(np.pi * x)
    product = s.prod(axis=-1)
    slope = np.stack(
        [c[..., 0] * s[..., 1] * s[..., 2], s[..., 0] * c[..., 1] * s[..., 2],
         s[..., 0] * s[..., 1] * c[..., 2]], axis=-1,
    )  # fmt: skip
    return product[..., None] * _AMPLITUDE, _AMPLITUDE[:, None] * slope[..., None, :]


def _force(x: Floats, C: Floats) -> Floats:
    """-div sigma, from the second derivatives of the product of sines."""
    s, c = np.sin(np.pi * x), np.cos(np.pi * x)
    H = np.empty((*x.shape[:-1], 3, 3))
    for i in range(3):
        for j in range(3):
            terms = [-s[..., k] if i == j == k else c[..., k] if k in (i, j) else s[..., k]
                     for k in range(3)]  # fmt: skip
            H[..., i, j] = np.pi**2 * terms[0] * terms[1] * terms[2]
    voigt = np.array([[0, 5, 4], [5, 1, 3], [4, 3, 2]])
    tensor = C[voigt[:, :, None, None], voigt[None, None]]
    return -np.einsum("ijkl,...jl,k->...i", tensor, H, _AMPLITUDE)


def _stress(g: Floats, C: Floats) -> Floats:
    shear = [g[..., a, b] + g[..., b, a] for a, b in ((1, 2), (0, 2), (0, 1))]
    return np.stack([g[..., 0, 0], g[..., 1, 1], g[..., 2, 2], *shear], axis=-1) @ C


def _norm(field: Floats, w: Floats) -> float:
    return float(np.sqrt(np.einsum("mq,mqx->", w, field**2)))
