"""One part, or several that touch, from solids to figures with their mesh errors."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry.kernel import Solid
from refledge.model.checks import Verdict
from refledge.solids.assembly import Material
from refledge.solids.cases import Bedding, FaceSpring, PointMass, SolidCase, Support
from refledge.solids.honesty import Estimate, richardson
from refledge.solids.hotspot import REACH, Uses, utilisation
from refledge.solids.law import Plastic, layer_axes, rotated
from refledge.solids.mesh import SolidMesh
from refledge.solids.modal import Modes, modes
from refledge.solids.port import MeshSize, Regions, mesh_solids
from refledge.solids.skin import Skin, shares
from refledge.solids.static import Static, static
from refledge.solids.stress import Stress, recover
from refledge.solids.system import System, build
from refledge.typed import Floats

RATIO = 1.4
"""Edge length of the coarse mesh over that of the fine one: a third of the elements."""

Progress = Callable[[str, float], None]


@dataclass(frozen=True, eq=False)
class PrintedBody:
    """A solid, its plastic and how it is printed."""

    solid: Solid
    plastic: Plastic
    build: tuple[float, float, float]
    """(3,): normal of the layers in part axes."""
    skin: Skin | None = None
    """Skins and infill; solid throughout where there is none."""


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


@dataclass(frozen=True, eq=False)
class SolidResults:
    """The finest mesh's fields, and the headline figures from all meshes."""

    finest: MeshRun
    figures: tuple[Figure, ...]
    sizes: tuple[float, ...]
    """Edge lengths of the meshes, m, coarse to fine."""

    def figure(self, name: str) -> Figure:
        """One figure by name; KeyError names those there are."""
        found = {each.name: each for each in self.figures}
        if name not in found:
            raise KeyError(f"{name!r}; there are {', '.join(found)}")
        return found[name]


def solve_part(
    bodies: Mapping[str, PrintedBody],
    faces: Regions,
    supports: Sequence[Support] = (),
    cases: Sequence[SolidCase] = (),
    masses: Sequence[PointMass] = (),
    springs: Sequence[Bedding | FaceSpring] = (),
    *,
    size: MeshSize,
    watch: Sequence[str] = (),
    n_modes: int = 0,
    reach: float = REACH,
    progress: Progress = lambda _what, _share: None,
) -> SolidResults:
    """Mesh, solve and judge on two meshes. With no support and no spring it floats free.

    watch: faces whose deflection and tilt become headline figures. Raises AnalysisError where
    meshing fails, a named face is missing or nothing holds the part.
    """
    found: list[Mapping[str, tuple[float, str]]] = []
    sizes = (size.finer(1 / RATIO), size)
    for index, each in enumerate(sizes):
        progress(f"mesh of {each.size * 1e3:.1f} mm", index / len(sizes))
        run = solve_on(
            mesh_solids({k: b.solid for k, b in bodies.items()}, faces, each),
            bodies, supports, cases, masses, springs, n_modes=n_modes, reach=reach,
        )  # fmt: skip
        found.append(_figures(run, watch))
    edges = tuple(each.size for each in sizes)
    figures = tuple(
        Figure(name, unit, richardson([values[name][0] for values in found], edges))
        for name, (_, unit) in found[-1].items()
    )
    progress("solved", 1.0)
    return SolidResults(run, figures, edges)


def solve_on(
    mesh: SolidMesh,
    bodies: Mapping[str, PrintedBody],
    supports: Sequence[Support] = (),
    cases: Sequence[SolidCase] = (),
    masses: Sequence[PointMass] = (),
    springs: Sequence[Bedding | FaceSpring] = (),
    *,
    n_modes: int = 0,
    reach: float = REACH,
) -> MeshRun:
    """The same on one given mesh, without mesh errors."""
    system = build(mesh, material_of(mesh, bodies), supports, masses, springs)
    solved = static(system, cases) if cases else None
    stresses = tuple(
        recover(mesh, system.material, u, case.rise)
        for u, case in zip(solved.displacements if solved else (), cases, strict=True)
    )
    printed = tuple(bodies[name] for name in mesh.bodies)
    plastics = tuple(each.plastic for each in printed)
    axes = tuple(layer_axes(np.array(each.build)) for each in printed)
    exclude = _excluded(supports, masses, springs)
    judged = tuple(utilisation(mesh, each, plastics, axes, exclude, reach) for each in stresses)
    return MeshRun(
        mesh, system, solved, stresses, judged, modes(system, n_modes) if n_modes else None
    )


def material_of(mesh: SolidMesh, bodies: Mapping[str, PrintedBody]) -> Material:
    """Laws turned to each body's print direction, with skins and infill."""
    printed = [bodies[name] for name in mesh.bodies]
    density = np.array([each.plastic.rho for each in printed])[mesh.body]
    share = np.ones((len(mesh.tets), 4))
    for k, each in enumerate(printed):
        if each.skin is not None:
            mine = mesh.body == k
            share[mine], fraction = shares(mesh, each.skin, np.array(each.build), k)
            density[mine] *= fraction
    turned = [rotated(b.plastic.stiffness(), layer_axes(np.array(b.build))) for b in printed]
    expansion = np.array([each.plastic.expansion for each in printed])
    return Material(np.array(turned), density, share, expansion)


def verdict(found: Estimate, limit: float, narrow: float = 0.1) -> Verdict:
    """Of a figure that must not exceed ``limit``: *cannot say* where the mesh error covers it."""
    if abs(limit - found.finest) <= found.error:
        return Verdict.UNKNOWN
    if found.finest > limit:
        return Verdict.FAILS
    return Verdict.HOLDS if limit - found.finest > narrow * abs(limit) else Verdict.NARROWLY


def _figures(run: MeshRun, watch: Sequence[str]) -> dict[str, tuple[float, str]]:
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
    if run.modes is not None:
        for number, frequency in enumerate(run.modes.frequencies, 1):
            found[f"mode {number}"] = (float(frequency), "Hz")
    return found


def _size(vector: Floats) -> float:
    return float(np.linalg.norm(vector))


def _excluded(
    supports: Sequence[Support],
    masses: Sequence[PointMass],
    springs: Sequence[Bedding | FaceSpring],
) -> tuple[str, ...]:
    held = [name for support in supports for name in support.faces]
    return (*held, *(m.face for m in masses if m.rigid), *(s.face for s in springs))
