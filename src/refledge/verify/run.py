"""Solve every part, compare with the beams, and judge."""

import hashlib
from collections.abc import Callable
from pathlib import Path

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids.figures import SolidResults
from refledge.solids.part import PrintedBody, solve_part
from refledge.solids.surface import coloured
from refledge.solids.vtu import at_all_nodes, vtu
from refledge.study import Study
from refledge.verify.airframe_solid import PART_MODES, SIZE, verify_whole
from refledge.verify.cache import content_key, keep, keep_whole, load, load_whole
from refledge.verify.plastics import printed_body
from refledge.verify.results import (
    BuckledShape,
    HotSpot,
    PartVerified,
    SolidFigure,
    Verified,
    WholeVerified,
)
from refledge.verify.settle import settled
from refledge.verify.setup import Setup, setups
from refledge.verify.solid_checks import solid_checks
from refledge.verify.stability import Stability, stability

PARTS_SHARE = 0.5
"""Of the progress; the rest is for the whole airframe."""
Progress = Callable[[str, float], None]


def verify(
    study: Study,
    *,
    cache: Path | None = None,
    whole: bool = False,
    progress: Progress = lambda _what, _share: None,
) -> Verified:
    """All parts of ``study`` as solids on two meshes each, and the whole airframe where asked.

    cache: folder of kept results. A part whose mesh or solve fails is listed with the reason, and
    its checks cannot say.
    """
    wanted = setups(study)
    parts: list[PartVerified] = []
    keys: list[str] = []
    failed: list[tuple[str, str]] = []
    for number, setup in enumerate(wanted):
        progress(f"solid {setup.key.replace('_', ' ')}", PARTS_SHARE * number / len(wanted))
        body = printed_body(study, setup.key)
        key = content_key(setup, body)
        keys.append(key)
        known = load(cache, key)
        try:
            found = known or solve(study, setup, body)
        except AnalysisError as error:
            failed.append((setup.key, str(error)))
            continue
        if known is None:
            keep(cache, key, found)
        parts.append(found)
    joined = None
    if whole:
        try:
            joined = _whole(study, cache, keys, progress)
        except AnalysisError as error:
            failed.append(("airframe", str(error)))
    progress("solids judged", 1.0)
    checks = solid_checks(study, tuple(parts), tuple(failed), joined)
    return Verified(tuple(parts), tuple(failed), joined, checks)


def _whole(study: Study, cache: Path | None, keys: list[str], progress: Progress) -> WholeVerified:
    """The joined airframe, kept by the content of all its parts and what rides on it."""
    told = [
        *keys,
        f"{SIZE} {PART_MODES}",
        *(f"{m.name} {m.each!r} {m.centre!r} {m.quantity}" for m in study.masses),
    ]
    key = hashlib.sha256("\n".join(told).encode()).hexdigest()[:32]
    found = load_whole(cache, key)
    if found is None:
        share = 1.0 - PARTS_SHARE

        def tell(what: str, done: float) -> None:
            progress(what, PARTS_SHARE + share * done)

        found = verify_whole(study, progress=tell)
        keep_whole(cache, key, found)
    return found


def solve(study: Study, setup: Setup, body: PrintedBody) -> PartVerified:
    """One part on two meshes, finer ones while the mesh error leaves a strength check in doubt."""
    found = solved(study, setup, body)
    return verified_of(study, setup, found, stability(setup, found, factors(study, setup)))


def solved(study: Study, setup: Setup, body: PrintedBody, *, settle: bool = True) -> SolidResults:
    """The same with its fields and factored stiffness, for what goes on from there. settle:
    whether finer meshes are made where a check is in doubt."""
    bodies = {setup.key: body}
    found = solve_part(
        bodies,
        setup.regions,
        setup.supports,
        setup.cases,
        setup.masses,
        size=setup.size,
        watch=setup.watch,
        n_modes=setup.n_modes,
        yielding=setup.yields,
    )
    if not settle:
        return found
    return settled(setup, bodies, found, factors(study, setup))


def factors(study: Study, setup: Setup) -> dict[str, float]:
    """Case name to its factor from the brief."""
    limits = study.brief.limits
    return {
        name: limits.flight_factor if kind == "flight" else limits.landing_factor
        for name, kind in setup.kinds.items()
    }


def verified_of(
    study: Study, setup: Setup, found: SolidResults, stable: Stability | None
) -> PartVerified:
    """Results in the shape in which they are kept, judged and shown."""
    factor = factors(study, setup)
    run = found.finest
    names = [case.name for case in setup.cases]
    used = np.array(
        [
            factor[name] * np.maximum(use.plastic, use.layers)
            for name, use in zip(names, run.uses, strict=True)
        ]
    )
    surface, colours = coloured(run.mesh, at_all_nodes(run.mesh, used.max(axis=0)))
    return PartVerified(
        key=setup.key,
        figures=_figures(setup, found),
        spots=_spots(setup, found, stable),
        dofs=run.mesh.dofs,
        sizes=found.sizes,
        surface=surface,
        use=colours,
        worst_case=names[int(np.argmax(used.max(axis=1)))],
        fields=_fields(setup, found, stable),
        buckled=_buckled(setup, found, stable),
    )


def _buckled(setup: Setup, found: SolidResults, stable: Stability | None) -> BuckledShape | None:
    if stable is None:
        return None
    _, moved = coloured(found.finest.mesh, stable.shape)
    return BuckledShape(setup.cases[stable.worst].name, moved, stable.why)


def _figures(setup: Setup, found: SolidResults) -> tuple[SolidFigure, ...]:
    return tuple(
        SolidFigure(
            each.name,
            each.unit,
            each.estimate.finest,
            each.estimate.error,
            setup.beam.get(each.name),
        )
        for each in found.figures
        if "use of" not in each.name
    )


def _spots(setup: Setup, found: SolidResults, stable: Stability | None) -> tuple[HotSpot, ...]:
    made, buckles = [], None if stable is None or stable.why else stable
    for row, (case, use) in enumerate(zip(setup.cases, found.finest.uses, strict=True)):
        plastic = found.figure(f"{case.name}: use of plastic").estimate
        layers = found.figure(f"{case.name}: use of layer boundaries").estimate
        at = use.worst_plastic.point
        made.append(
            HotSpot(
                case=case.name,
                kind=setup.kinds[case.name],
                plastic=plastic.finest,
                plastic_error=plastic.error,
                plastic_anywhere=use.worst_plastic.unrestricted,
                layers=layers.finest,
                layers_error=layers.error,
                layers_anywhere=use.worst_layers.unrestricted,
                place=(float(at[0]), float(at[1]), float(at[2])),
                buckling=None if buckles is None else float(buckles.uses[row]),
                buckling_error=None if buckles is None else float(buckles.errors[row]),
            )
        )
    return tuple(made)


def _fields(setup: Setup, found: SolidResults, stable: Stability | None) -> str:
    """VTU: displacement and uses of every load case, and how the part buckles."""
    run = found.finest
    nodal = {}
    moved = () if run.static is None else run.static.displacements
    for case, u, use in zip(setup.cases, moved, run.uses, strict=True):
        name = case.name.replace(" ", "_")
        nodal[f"displacement_{name}"] = u
        nodal[f"use_plastic_{name}"] = at_all_nodes(run.mesh, use.plastic)
        nodal[f"use_layers_{name}"] = at_all_nodes(run.mesh, use.layers)
    if stable is not None:
        nodal[f"buckled_{setup.cases[stable.worst].name.replace(' ', '_')}"] = stable.shape
    return vtu(run.mesh, nodal, {"body": run.mesh.body.astype(np.float64)})
