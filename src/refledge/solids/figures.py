"""Headline figures of a solid, each with what the mesh may have done to it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.spatial import KDTree

from refledge.solids.honesty import Estimate, richardson
from refledge.solids.hotspot import Uses
from refledge.solids.mesh import SolidMesh
from refledge.solids.modal import Modes, alike
from refledge.solids.static import Static
from refledge.solids.stress import Stress
from refledge.solids.system import System
from refledge.typed import Floats

MODE = "mode "
SPARE = 2
"""Modes found beyond those wanted, so that the last ones find their like on the other mesh."""
_ALIKE = 0.5
"""Least assurance at which two modes count as the same: modes of like frequency mix half and
half at worst, and then share it."""


@dataclass(frozen=True)
class Figure:
    """One headline figure, SI, with its mesh error."""

    name: str
    unit: str
    estimate: Estimate


@dataclass(frozen=True, eq=False)
class MeshRun:
    """Everything found on one mesh."""

    mesh: SolidMesh
    system: System
    static: Static | None
    stresses: tuple[Stress, ...]
    uses: tuple[Uses, ...]
    """One a load case."""
    modes: Modes | None
    judged: System
    """What stresses were found on: held by what yields, where that was given, else ``system``."""


@dataclass(frozen=True, eq=False)
class SolidResults:
    """The finest mesh's fields, and the headline figures from all meshes."""

    finest: MeshRun
    figures: tuple[Figure, ...]
    sizes: tuple[float, ...]
    """Edge lengths of the meshes, m, coarse to fine; of refined ones, nominal, at the spots."""
    values: tuple[Mapping[str, float], ...]
    """Every figure on every mesh; on refined ones uses of strength only."""
    coarse: MeshRun
    """The coarsest mesh's."""

    def figure(self, name: str) -> Figure:
        """One figure by name; KeyError names those there are."""
        found = {each.name: each for each in self.figures}
        if name not in found:
            raise KeyError(f"{name!r}; there are {', '.join(found)}")
        return found[name]


def figures_of(run: MeshRun, watch: Sequence[str]) -> dict[str, tuple[float, str]]:
    """Name to value and unit."""
    found: dict[str, tuple[float, str]] = {}
    if run.static is not None:
        for name in watch:
            for case, moved in zip(run.static.cases, run.static.motion(name), strict=True):
                found[f"{case.name}: deflection of {name}"] = (_size(moved[:3]), "m")
                found[f"{case.name}: tilt of {name}"] = (_size(moved[3:]), "rad")
        for case, use in zip(run.static.cases, run.uses, strict=True):
            found[f"{case.name}: use of plastic"] = (use.worst_plastic.use, "1")
            found[f"{case.name}: use of layer boundaries"] = (use.worst_layers.use, "1")
    return found


def mode_figures(runs: Sequence[MeshRun], count: int) -> tuple[Figure, ...]:
    """Modes of the finest mesh, each with the mode of the coarser one that moves like it."""
    if not count:
        return ()
    coarse, fine = (_sure(run.modes) for run in runs[-2:])
    edges = [run.mesh.size for run in runs[-2:]]
    near = np.asarray(KDTree(coarse.system.mesh.nodes).query(fine.system.mesh.nodes)[1])
    weight = np.asarray(fine.system.matrices.mass.sum(axis=1), np.float64).reshape(-1, 1)
    partner, assurance = alike(
        fine.shapes[:count],
        np.asarray(coarse.shapes[:, near]),
        weight,
        (fine.frequencies[:count], coarse.frequencies),
    )
    made = []
    for number, (row, like) in enumerate(zip(partner, assurance, strict=True)):
        pair = float(coarse.frequencies[row]), float(fine.frequencies[number])
        estimate = richardson(pair, edges)
        if like < _ALIKE:
            estimate = replace(estimate, error=np.inf)
        made.append(Figure(f"{MODE}{number + 1}", "Hz", estimate))
    return tuple(made)


def _sure(found: Modes | None) -> Modes:
    assert found is not None  # modes were asked for
    return found


def _size(vector: Floats) -> float:
    return float(np.linalg.norm(vector))
