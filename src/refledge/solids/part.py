"""One part, or several that touch, from solids to figures with their mesh errors."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import AnalysisError
from refledge.geometry.kernel import Solid
from refledge.model.checks import Verdict
from refledge.model.results import TriMesh
from refledge.solids.assembly import Material
from refledge.solids.cases import Bedding, FaceSpring, PointMass, SolidCase, Support
from refledge.solids.figures import (
    SPARE,
    Figure,
    MeshRun,
    SolidResults,
    figures_of,
    mode_figures,
)
from refledge.solids.honesty import Estimate, richardson
from refledge.solids.hotspot import REACH, Uses, utilisation
from refledge.solids.law import Plastic, layer_axes, rotated
from refledge.solids.mesh import SolidMesh, edge_at
from refledge.solids.modal import modes
from refledge.solids.port import MeshSize, Regions, mesh_solids
from refledge.solids.skin import Skin, core, in_walls, shares
from refledge.solids.static import static
from refledge.solids.stress import Stress, recover
from refledge.solids.surface_mesh import mesh_surface
from refledge.solids.system import System, build
from refledge.typed import Floats

RATIO = 1.4
"""Edge length of the coarse mesh over that of the fine one: a third of the elements."""

NO_FINER = 0.8
"""Edge length over that before, above which a mesh counts as no finer."""
LOCAL_ORDER = 1.0
"""Highest order believed where meshes are refined at places only: they are not of one family, so
changes may look small by chance. Stresses of quadratic elements may do 2, at corners less."""
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
    surface: TriMesh | None = None
    """Closed triangles that are meshed in place of the solid, as of a grown part."""


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
    yielding: Sequence[Bedding] = (),
    progress: Progress = lambda _what, _share: None,
) -> SolidResults:
    """Mesh, solve and judge on two meshes. With no support and no spring it floats free.

    watch: faces whose deflection and tilt become headline figures. yielding: what holds it in place
    of all supports and springs where strength is judged; motions, modes and buckling do not see it.
    Stress beside a face held fast grows with finer meshes as at a crack, on springs as a logarithm.
    Raises AnalysisError where meshing fails, a named face is missing or nothing holds the part.
    """
    found: list[dict[str, tuple[float, str]]] = []
    runs: list[MeshRun] = []
    sizes, asked = (size.finer(1 / RATIO), size), n_modes + SPARE if n_modes else 0
    for index, each in enumerate(sizes):
        progress(f"mesh of {each.size * 1e3:.1f} mm", index / len(sizes))
        run = solve_on(
            meshed(bodies, faces, each),
            bodies, supports, cases, masses, springs, n_modes=asked, reach=reach,
            yielding=yielding,
        )  # fmt: skip
        runs.append(run)
        found.append(figures_of(run, watch))
    edges = tuple(each.size for each in sizes)
    figures = tuple(
        Figure(name, unit, richardson([values[name][0] for values in found], edges))
        for name, (_, unit) in found[-1].items()
    )
    progress("solved", 1.0)
    values = tuple({name: value for name, (value, _) in each.items()} for each in found)
    return SolidResults(run, (*figures, *mode_figures(runs, n_modes)), edges, values, runs[0])


def refine(
    known: SolidResults,
    places: Sequence[Floats],
    bodies: Mapping[str, PrintedBody],
    faces: Regions,
    supports: Sequence[Support] = (),
    cases: Sequence[SolidCase] = (),
    masses: Sequence[PointMass] = (),
    springs: Sequence[Bedding | FaceSpring] = (),
    *,
    size: MeshSize,
    reach: float = REACH,
    yielding: Sequence[Bedding] = (),
) -> SolidResults:
    """The same with one more mesh of ``size``, finer at ``places``, (3,) each, m.

    Uses of strength, which those places decide, get its values and errors; deflections and modes,
    which the whole mesh decides, keep theirs. Where elements there come out no finer, ``known``.
    """
    mesh = meshed(bodies, faces, size)
    before, after = (
        np.mean([edge_at(each, place) for place in places]) for each in (known.finest.mesh, mesh)
    )
    if after > NO_FINER * before:
        return known
    run = solve_on(mesh, bodies, supports, cases, masses, springs, reach=reach, yielding=yielding)
    sizes = (*known.sizes, float(known.sizes[-1] * after / before))
    fresh = {name: value for name, (value, _) in figures_of(run, ()).items()}
    values = (*known.values, fresh)
    figures = tuple(
        replace(
            each,
            estimate=richardson([v[each.name] for v in values], sizes, most=LOCAL_ORDER),
        )
        if each.name in fresh
        else each
        for each in known.figures
    )
    return SolidResults(run, figures, sizes, values, known.coarse)


def meshed(bodies: Mapping[str, PrintedBody], faces: Regions, size: MeshSize) -> SolidMesh:
    """Of drawn solids together, or of one body's triangles."""
    surfaces = {name: each.surface for name, each in bodies.items() if each.surface is not None}
    if not surfaces:
        return mesh_solids({name: each.solid for name, each in bodies.items()}, faces, size)
    if len(bodies) > 1:
        raise AnalysisError(f"{', '.join(surfaces)}: bodies of triangles are solved one at a time")
    ((name, surface),) = surfaces.items()
    return mesh_surface(name, surface, faces, size)


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
    yielding: Sequence[Bedding] = (),
) -> MeshRun:
    """The same on one given mesh, without mesh errors."""
    system = build(mesh, material_of(mesh, bodies), supports, masses, springs)
    solved = static(system, cases) if cases else None
    judged_on, strained = system, solved
    if yielding and cases:
        plain = None if springs else system.matrices
        judged_on = build(mesh, system.material, (), masses, yielding, matrices=plain)
        strained = static(judged_on, cases)
    stresses = tuple(
        recover(mesh, system.material, u, case.rise)
        for u, case in zip(strained.displacements if strained else (), cases, strict=True)
    )
    held = _excluded(supports, masses, (*springs, *yielding))
    judged = judge_stresses(judged_on, bodies, stresses, held, reach)
    found = modes(system, n_modes) if n_modes else None
    return MeshRun(mesh, system, solved, stresses, judged, found, judged_on)


def judge_stresses(
    system: System,
    bodies: Mapping[str, PrintedBody],
    stresses: tuple[Stress, ...],
    exclude: tuple[str, ...],
    reach: float = REACH,
) -> tuple[Uses, ...]:
    """Uses of strength that stresses on a mesh make, away from the faces in ``exclude``."""
    mesh = system.mesh
    printed = tuple(bodies[name] for name in mesh.bodies)
    plastics = tuple(each.plastic for each in printed)
    axes = tuple(layer_axes(np.array(each.build)) for each in printed)
    felt = _in_walls(mesh, printed, axes, stresses)
    return tuple(utilisation(mesh, each, plastics, axes, exclude, reach) for each in felt)


def _in_walls(
    mesh: SolidMesh,
    printed: tuple[PrintedBody, ...],
    axes: tuple[Floats, ...],
    stresses: tuple[Stress, ...],
) -> tuple[Stress, ...]:
    """Stresses with those of the infill's own walls in the core."""
    for k, (each, turn) in enumerate(zip(printed, axes, strict=True)):
        if each.skin is not None and stresses:
            inside = core(mesh, each.skin, turn[2], k)
            stresses = tuple(
                replace(s, nodes=in_walls(s.nodes, inside, each.skin.infill, turn))
                for s in stresses
            )
    return stresses


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


def _excluded(
    supports: Sequence[Support],
    masses: Sequence[PointMass],
    springs: Sequence[Bedding | FaceSpring],
) -> tuple[str, ...]:
    held = [name for support in supports for name in support.faces]
    return (*held, *(m.face for m in masses if m.rigid), *(s.face for s in springs))
