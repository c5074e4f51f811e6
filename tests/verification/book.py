"""What one entry of the verification book is; docs/verification is written from these."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from refledge.solids.assembly import Material
from refledge.solids.honesty import Estimate, richardson
from refledge.solids.law import Plastic
from refledge.solids.mesh import SolidMesh
from refledge.typed import Floats


@dataclass(frozen=True)
class Target:
    """One figure of a problem: what was published or derived, and how near we must come."""

    name: str
    value: float
    unit: str
    band: float
    """Relative."""


@dataclass(frozen=True, eq=False)
class Entry:
    """One problem of the book."""

    key: str
    title: str
    problem: str
    source: str
    why_band: str
    targets: tuple[Target, ...]
    solve: Callable[[int], tuple[float, list[float]]]
    """Mesh level (1, 2) to edge length, m, and one value a target."""


@dataclass(frozen=True)
class Outcome:
    """One figure on two meshes."""

    target: Target
    coarse: float
    estimate: Estimate

    @property
    def off(self) -> float:
        """Finest value over target, less 1."""
        return self.estimate.finest / self.target.value - 1

    @property
    def passes(self) -> bool:
        return abs(self.off) <= self.target.band


def run(entry: Entry) -> list[Outcome]:
    """Both meshes."""
    (coarse, first), (fine, second) = entry.solve(1), entry.solve(2)
    assert len(first) == len(second) == len(entry.targets)
    return [
        Outcome(target, a, richardson((a, b), (coarse, fine), order=2.0))
        for target, a, b in zip(entry.targets, first, second, strict=True)
    ]


def steel(mesh: SolidMesh, plastic: Plastic) -> Material:
    """One isotropic body, solid throughout."""
    m = len(mesh.tets)
    return Material(
        plastic.stiffness()[None],
        np.full(m, plastic.rho),
        np.ones((m, 4)),
        np.array([plastic.expansion]),
    )


def node_at(mesh: SolidMesh, point: tuple[float, float, float]) -> int:
    """The corner that stands at ``point``, m."""
    distance = np.linalg.norm(mesh.nodes[: mesh.corners] - np.array(point), axis=1)
    assert distance.min() < 1e-9
    return int(np.argmin(distance))


def polar(radius: Floats, angle: Floats, height: Floats) -> Floats:
    """(n, 3), m."""
    return np.column_stack((radius * np.cos(angle), radius * np.sin(angle), height))
