"""The same bodies by voxels and by tetrahedra: two methods that share no element go to one answer.

A bar with an upright hole and a drawn truss arm, partial volumes in the voxels, quadratic
tetrahedra on the other side. Voxels bend too stiffly by their depth over that of the bar squared
(linear elements in bending: Zienkiewicz and Taylor, The Finite Element Method), so the order is 2.
"""

from functools import cache

import numpy as np
import pytest

from refledge.geometry import kernel
from refledge.geometry.kernel import Solid
from refledge.shaping.voxelise import mesh_shares
from refledge.solids.cases import FaceLoad, SolidCase, Support
from refledge.solids.honesty import richardson
from refledge.solids.part import PrintedBody, solve_on
from refledge.solids.port import MeshSize, Regions, mesh_solids
from refledge.solids.regions import Plane
from refledge.typed import Bools, Floats
from refledge.voxels.elasticity import Body
from refledge.voxels.grid import Grid, touched
from refledge.voxels.grips import Grip
from refledge.voxels.material import Layered
from tests.geometry.frames import arm, frame
from tests.solids.arm_part import PETG, body, regions
from tests.solids.test_surface_mesh import LENGTH, SIDE, bar

PUSH = np.array([0.0, 0.0, 10.0])
LAW = Layered(
    E_in=PETG.E_xy, E_across=PETG.E_z, nu_in=PETG.nu_xy, nu_across=PETG.nu_xz,
    G_across=PETG.G_xz, rho=PETG.rho,
)  # fmt: skip


def by_voxels(solid: Solid, grid: Grid, held: Bools, pushed: Bools, at: Floats) -> float:
    """m, along the push; held, pushed: nodes, of those that any plastic touches."""
    shares = mesh_shares(kernel.tessellate(solid), grid)
    there = touched(shares > 0.5)
    fixed = np.broadcast_to(held & there, grid.field).copy()
    tip = Grip(grid, pushed & there, (float(at[0]), float(at[1]), float(at[2])))
    solved = Body(grid, LAW, fixed).at(shares).solve(tip.field([*PUSH, 0, 0, 0])[None])
    return float(tip.motion(solved.x)[0, 2])


def by_tets(solid: Solid, faces: Regions, root: str, seat: str, at: Floats, size: float) -> float:
    mesh = mesh_solids({"part": solid}, faces, MeshSize(size))
    part = {"part": PrintedBody(solid, PETG, (0.0, 0.0, 1.0))}
    case = SolidCase("push", (FaceLoad(seat, PUSH, at),))
    run = solve_on(mesh, part, (Support((root,)),), (case,))
    assert run.static is not None
    return float(run.static.motion(seat)[0][2])


def bar_of(h: float) -> float:
    nx, ny, nz = (round(each / h) for each in (LENGTH, SIDE, SIDE))
    grid = Grid((nx, ny, nz), h, (0.0, -SIDE / 2, -SIDE / 2))
    x = np.broadcast_to(grid.axes()[0], grid.nodes)
    near = 1e-6
    return by_voxels(bar(), grid, x < near, x > LENGTH - near, np.array([LENGTH, 0.0, 0.0]))


@cache
def bar_limit() -> float:
    """By tetrahedra of two sizes, and to size nought."""
    faces = {"root": Plane((0, 0, 0), (1, 0, 0)), "tip": Plane((LENGTH, 0, 0), (1, 0, 0))}
    at, sizes = np.array([LENGTH, 0.0, 0.0]), (3.5e-3, 2.5e-3)
    found = [by_tets(bar(), faces, "root", "tip", at, size) for size in sizes]
    assert richardson(found, sizes).relative < 0.01
    return richardson(found, sizes, order=2.0).extrapolated


def test_voxels_go_to_the_tetrahedra_by_order_two() -> None:
    """4.4, 2.1 and 0.5 % too stiff at 3, 2 and 1 mm: the limit itself is known to 0.1 %."""
    sizes = np.array([3e-3, 2e-3, 1e-3])
    short = 1 - np.array([bar_of(h) for h in sizes]) / bar_limit()
    assert (short > 0).all()
    orders = np.log(short[:-1] / short[1:]) / np.log(sizes[:-1] / sizes[1:])
    assert orders == pytest.approx([2.0, 2.0], abs=0.35)
    assert short[-1] < 0.01


def test_a_drawn_arm_gives_the_same_by_both() -> None:
    """Members of two to four voxels at 1 mm: 0.3 % apart, where the bar's rule gives 1 to 2 %
    for the thinnest alone."""
    one = frame(6, arm("truss")).arm
    top, h = one.depth_root / 2, 1e-3
    at = np.array([one.axis, 0.0, top])
    nx, ny, nz = (round(each / h) for each in (one.length, one.width, one.depth_root))
    grid = Grid((nx, ny, nz), h, (0.0, -one.width / 2, -top))
    x, _, z = np.broadcast_arrays(*grid.axes())
    level = np.abs(np.abs(z) - top) < 1e-6
    held = level & (x <= one.root_length + 1e-6)
    seat = level & (z > 0) & (x >= one.length - one.tenon_length - 1e-6)
    solid = body("truss").solid
    mine = by_voxels(solid, grid, held, seat, at)
    theirs = by_tets(solid, regions("truss"), "clamp", "seat", at, 5e-3)
    assert mine == pytest.approx(theirs, rel=0.01)
