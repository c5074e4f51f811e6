"""Finer meshes where a verdict depends on them, and only there."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from refledge.errors import AnalysisError
from refledge.solids.figures import SolidResults
from refledge.solids.hotspot import REACH
from refledge.solids.mesh import SolidMesh, edge_at
from refledge.solids.part import PrintedBody, refine
from refledge.typed import Floats
from refledge.verify.setup import Setup

FINER = 4
"""Most meshes made beyond the two that every part has."""
LEAST_EDGE = 0.3 * REACH
"""m; finer than this the averaging sees no more: our choice."""
MOST_UNKNOWNS = 300_000
"""Unknowns beyond which no finer mesh is made: seconds and memory of a small machine."""


def settled(
    setup: Setup,
    bodies: Mapping[str, PrintedBody],
    found: SolidResults,
    factor: Mapping[str, float],
) -> SolidResults:
    """Refined round the worst points of what is in doubt, until nothing is or it is too large.

    The mesher's own edges there may be finer than the elements that it makes, so each step asks
    for twice as fine as the one before.
    """
    size = setup.size
    for step in range(1, FINER + 1):
        places, mesh = in_doubt(setup, found, factor), found.finest.mesh
        if not places or mesh.dofs > MOST_UNKNOWNS:
            break
        size = replace(size, spots=(*size.spots, *_spots_at(mesh, places, 2.0**step)))
        try:
            found = refine(
                found, places, bodies, setup.regions, setup.supports, setup.cases, setup.masses,
                size=size, yielding=setup.yields,
            )  # fmt: skip
        except AnalysisError:  # no such mesh could be made: the doubt stays, and is told
            break
    return found


def _spots_at(
    mesh: SolidMesh, places: list[Floats], ratio: float
) -> list[tuple[float, float, float, float]]:
    """Edges finer by ``ratio`` at the places and as far round them as stress is averaged."""
    round_it = REACH * np.vstack((np.zeros(3), np.eye(3), -np.eye(3)))
    made = []
    for place in places:
        edge = max(edge_at(mesh, place) / ratio, LEAST_EDGE)
        made += [(float(x), float(y), float(z), edge) for x, y, z in place + round_it]
    return made


def in_doubt(setup: Setup, found: SolidResults, factor: Mapping[str, float]) -> list[Floats]:
    """Worst points (3,), m, of the uses whose mesh error is more than the way to the limit."""
    places = []
    for case, use in zip(setup.cases, found.finest.uses, strict=True):
        for what, worst in (
            ("plastic", use.worst_plastic),
            ("layer boundaries", use.worst_layers),
        ):
            estimate = found.figure(f"{case.name}: use of {what}").estimate
            if abs(1.0 / factor[case.name] - estimate.finest) <= estimate.error:
                places.append(worst.point)
    return places
