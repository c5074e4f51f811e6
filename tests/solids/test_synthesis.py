"""Joined reductions against the same meshes solved whole, and against closed forms.

The reference is the full eigenproblem of both meshes at once with the same joints (scipy's dense
solver), so only the reduction is in question; its Ritz values can lie above the full ones only.
"""

from dataclasses import replace

import numpy as np
import pytest
from scipy.linalg import block_diag, eigh, null_space
from scipy.sparse import kron

from refledge.errors import AnalysisError
from refledge.solids import faces
from refledge.solids.assembly import dofs
from refledge.solids.cases import PointMass, Support
from refledge.solids.harmonic import Shaker, harmonic
from refledge.solids.modal import modes
from refledge.solids.reduction import Component, reduce
from refledge.solids.synthesis import Copy, Joined, Joint, Riding, join, shaken
from refledge.solids.system import System, build
from refledge.typed import Floats
from tests.solids.bars import AREA, HEIGHT, LENGTH, WIDTH, bar, plain

MESH = bar((6, 1, 1))
ENDS = ("x0", "x1")
NOTHING = tuple(PointMass(name, 0.0, np.zeros(3), rigid=True) for name in ENDS)
QUARTER = np.array([[0.0, -1.0, 0.0], [1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
CENTRE = np.array([0.0, WIDTH / 2, HEIGHT / 2])
AT_END = np.array([LENGTH, WIDTH / 2, HEIGHT / 2])


def system(rigid: bool) -> System:
    return build(MESH, plain(MESH), masses=NOTHING if rigid else ())


SOFT = reduce(system(False), ENDS, 8)
HARD = reduce(system(True), ENDS, 8)


def corner(component: Component, riding: tuple[Riding, ...] = ()) -> Joined:
    """Two bars, the second turned a quarter about z and joined to the first's end."""
    second = Copy("second", component, QUARTER, AT_END - QUARTER @ CENTRE)
    copies = (Copy("first", component, np.eye(3), np.zeros(3)), second)
    return join(copies, (Joint(("first", "x1"), ("second", "x0")),), riding)


def full(rigid: bool, mass: float = 0.0) -> Floats:
    """Frequencies (Hz) of the same corner without any reduction, mass on the second's far end."""
    n = MESH.dofs
    K1 = system(False).matrices.stiffness.toarray()
    M1 = kron(system(False).matrices.mass, np.eye(3)).toarray()
    turn = np.kron(np.eye(n // 3), QUARTER)
    K, M = (block_diag(each, turn @ each @ turn.T) for each in (K1, M1))
    first, second = faces.patch(MESH, "x1"), faces.patch(MESH, "x0")
    end = faces.patch(MESH, "x1")
    wide = np.kron(np.eye(2), QUARTER)
    gap = np.zeros((6, 2 * n))
    gap[:, dofs(first.nodes)] = first.mean
    gap[:, n + dofs(second.nodes)] -= (
        wide @ second.mean @ np.kron(np.eye(len(second.nodes)), QUARTER.T)
    )
    rows = [gap]
    if rigid:  # each end keeps the shape of a rigid motion
        for shift, patch, spin in ((0, first, False), (n, second, True), (0, second, False),
                                   (n, first, True)):  # fmt: skip
            own = np.zeros((3 * len(patch.nodes), 2 * n))
            back = np.kron(np.eye(len(patch.nodes)), QUARTER.T if spin else np.eye(3))
            own[:, shift + dofs(patch.nodes)] = (
                np.eye(3 * len(patch.nodes)) - patch.rigid @ patch.mean
            ) @ back
            rows.append(own)
    tip = np.zeros((3, 2 * n))
    tip[:, n + dofs(end.nodes)] = (wide @ end.mean)[:3] @ np.kron(np.eye(len(end.nodes)), QUARTER.T)
    Z = null_space(np.vstack(rows), rcond=1e-9)
    values = eigh(Z.T @ K @ Z, Z.T @ (M + mass * tip.T @ tip) @ Z, eigvals_only=True)
    return np.asarray(np.sqrt(np.maximum(values, 0)) / (2 * np.pi))


@pytest.mark.parametrize("rigid", [False, True])
def test_a_corner_of_two_bars_has_the_modes_of_the_whole(rigid: bool) -> None:
    found = corner(HARD if rigid else SOFT).frequencies[6:12]
    wanted = full(rigid)[6:12]
    assert np.all(found >= wanted * (1 - 1e-6))
    assert found == pytest.approx(wanted, rel=2e-3)


def test_what_rides_on_a_port_counts() -> None:
    tip = QUARTER @ (np.array([LENGTH, WIDTH / 2, HEIGHT / 2]) - CENTRE) + AT_END
    rider = Riding("second", "x1", 0.05, tip, np.zeros((3, 3)))
    found = corner(SOFT, (rider,)).frequencies[6:10]
    assert found == pytest.approx(full(False, 0.05)[6:10], rel=2e-3)
    assert found[0] < 0.9 * corner(SOFT).frequencies[6]


def test_two_bars_end_to_end_are_one_long_bar() -> None:
    """Continuous meshes differ from joined ends by what plane ends lack in freedom only."""
    second = Copy("second", HARD, np.eye(3), np.array([LENGTH, 0.0, 0.0]))
    copies = (Copy("first", HARD, np.eye(3), np.zeros(3)), second)
    joined = join(copies, (Joint(("first", "x1"), ("second", "x0")),), ())
    mesh = bar((12, 1, 1))
    long = replace(mesh, nodes=mesh.nodes * [2.0, 1.0, 1.0])
    found = modes(build(long, plain(long)), 4).frequencies
    assert joined.frequencies[6:10] == pytest.approx(found, rel=5e-3)


def test_a_single_part_keeps_its_own_modes_and_answers() -> None:
    alone = join((Copy("bar", SOFT, np.eye(3), np.zeros(3)),), (), ())
    own = modes(system(False), 8)
    assert alone.frequencies[6:12] == pytest.approx(own.frequencies[:6], rel=1e-6)
    f = np.array([5.0, 0.6 * own.frequencies[0], 1.02 * own.frequencies[1]])
    wrench = np.zeros((3, 6), dtype=np.complex128)
    wrench[:, 2] = wrench[:, 1] = 1.0
    point = AT_END + np.array([0.0, 0.0, 0.01])
    found = shaken(alone, 0.02, ("bar", "x1"), point, wrench, f, (("bar", "x0"), ("bar", "x1")))
    wanted = harmonic(own, 0.02, Shaker("x1", point, wrench), f, ENDS)
    for end in ENDS:
        size = np.abs(wanted.accelerations[end]).max()
        assert np.allclose(found["bar", end], wanted.accelerations[end], atol=2e-3 * size)


def test_slow_shaking_moves_the_joined_as_one_mass() -> None:
    push = np.zeros((1, 6), dtype=np.complex128)
    push[0, 2] = 1.0
    middle = np.array([0.75 * LENGTH, WIDTH / 2 + LENGTH / 4, HEIGHT / 2])
    found = shaken(corner(SOFT), 0.02, ("first", "x1"), middle, push, np.array([0.01]),
                   (("second", "x1"),))  # fmt: skip
    mass = 2 * 1240.0 * AREA * LENGTH
    assert found["second", "x1"][0, 2].real == pytest.approx(1 / mass, rel=1e-4)


def test_ports_that_do_not_meet_and_parts_that_fall_apart_are_refused() -> None:
    away = Copy("second", SOFT, np.eye(3), np.array([LENGTH + 2e-3, 0.0, 0.0]))
    first = Copy("first", SOFT, np.eye(3), np.zeros(3))
    with pytest.raises(AnalysisError, match=r"2\.00 mm apart"):
        join((first, away), (Joint(("first", "x1"), ("second", "x0")),), ())
    with pytest.raises(AnalysisError, match="fall apart"):
        join((first, away), (), ())


def test_a_held_part_cannot_be_joined() -> None:
    with pytest.raises(AnalysisError, match="floats free"):
        reduce(build(MESH, plain(MESH), [Support(("x0",))]), ENDS, 4)
