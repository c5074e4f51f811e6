"""From grey densities to whole voxels: as many as the densities add up to, or as limits need."""

from dataclasses import replace

import numpy as np
from scipy.ndimage import binary_dilation, label

from refledge.errors import AnalysisError
from refledge.shaping.figures import Figures, Stand, figures_of, strained
from refledge.shaping.limits import Bounds
from refledge.shaping.space import Space
from refledge.study import Study
from refledge.typed import Bools, Floats
from refledge.voxels.overhang import Overhang

MORE = (1.0, 1.05, 1.1, 1.15, 1.2, 1.3)
"""Voxels tried over what the densities add up to, until the limits are kept: our choice."""

ROUNDS, BESIDE = 6, 2
"""Times at most that overused voxels are looked for and voxels put beside, and how far beside: our
choice."""


def crisp(
    density: Floats, space: Space, overhang: Overhang | None = None, more: float = 1.0
) -> Bools:
    """(nx, ny, nz): as many of the densest voxels as the densities add up to, times ``more``, less
    loose bits and, with ``overhang``, less what hangs.

    Raises AnalysisError where they do not join all that is to be kept.
    """
    found = _densest(density, space, more)
    if overhang is not None:
        found = overhang.standing(found, space.keep)
    parts, _ = label(found)
    kept = np.unique(parts[space.keep])
    if len(kept) > 1:
        raise AnalysisError(
            f"the grown arm falls into {len(kept)} pieces that each hold a seat: let it grow for "
            "more steps, or take smaller voxels"
        )
    return np.asarray(parts == kept[0])


def made_crisp(
    study: Study,
    stand: Stand,
    density: Floats,
    space: Space,
    overhang: Overhang | None,
    bounds: Bounds | None,
) -> tuple[Bools, Figures]:
    """Whole voxels and what they do; with ``bounds`` the fewest of a few counts that keep them,
    those beside that strength wants included, or the most where none does."""
    swaying = None if bounds is None else replace(bounds, use=np.inf)
    for more in MORE:
        found = crisp(density, space, overhang, more)
        figures = figures_of(study, stand, found.astype(np.float64))
        if bounds is None or swaying is None or bounds.worst(figures) <= 1:
            break
        if swaying.worst(figures) <= 1:
            fuller = stronger(stand, found, space, overhang, bounds.use)
            if fuller is not None:
                return fuller, figures_of(study, stand, fuller.astype(np.float64))
    return found, figures


def stronger(
    stand: Stand, found: Bools, space: Space, overhang: Overhang | None, most: float
) -> Bools | None:
    """With voxels beside those that use more than ``most`` of their strength, until none does; None
    where that does not help, as where always solid voxels are what is overused."""
    for _ in range(ROUNDS):
        over = strained(stand, found.astype(np.float64)) > most
        if not over.any():
            return found
        found = found | (binary_dilation(over, iterations=BESIDE) & ~space.void)
        if overhang is not None:
            found = overhang.standing(found, space.keep)
    return None


def as_printed(density: Floats, space: Space, found: Bools, overhang: Overhang | None) -> Floats:
    """Densities with what ``found`` has more at 1 and, with ``overhang``, what hangs at 0."""
    usual = _densest(density, space, 1.0)
    drawn = np.where(found & ~usual, 1.0, density)
    return drawn if overhang is None else np.where(usual & ~found, 0.0, drawn)


def _densest(density: Floats, space: Space, more: float) -> Bools:
    count = round(more * float(density.sum(dtype=np.float64)))
    order = np.argsort(-density.ravel(), kind="stable")
    found = np.zeros(density.size, bool)
    found[order[:count]] = True
    return np.asarray((found.reshape(density.shape) | space.keep) & ~space.void)
