"""All candidate arms of one family and material, over every width, and the choice among them."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.arm_uses import ArmUses
from refledge.typed import Floats


@dataclass(frozen=True, eq=False)
class Pool:
    """Candidates of several widths side by side."""

    family: str
    material: str
    blocks: tuple[ArmUses, ...]
    """One for each width."""
    frame_mass: Floats
    """(N,), kg, of the whole frame with that arm."""
    keys: tuple[str, ...]
    uses: Floats
    """(len(keys), N)."""

    def locate(self, index: int) -> tuple[ArmUses, int]:
        """Block and row of one candidate."""
        for block in self.blocks:
            if index < block.candidates.count:
                return block, index
            index -= block.candidates.count
        raise IndexError(index)


@dataclass(frozen=True)
class Choice:
    """One candidate chosen from a pool."""

    index: int
    feasible: bool
    worst: str
    """Key of the use that is nearest to (or furthest over) its limit."""
    worst_use: float


def make_pool(
    family: str, material: str, blocks: list[ArmUses], n_arms: int, rest: list[float]
) -> Pool:
    """``rest``: mass of the frame without its arms for each block's width, kg."""
    keys = tuple(blocks[0].uses)
    mass = [n_arms * block.mass + other for block, other in zip(blocks, rest, strict=True)]
    uses = np.array([np.concatenate([block.uses[key] for block in blocks]) for key in keys])
    return Pool(family, material, tuple(blocks), np.concatenate(mass), keys, uses)


def choose(pool: Pool, tighten: Mapping[str, float], relax: Mapping[str, float]) -> Choice:
    """Lightest frame within all limits; where none is, the one least over all its limits together.

    tighten: factor on a use, learnt from the whole airframe. relax: factor on a limit (1.1 allows a
    tenth more).
    """
    factor = np.array([tighten.get(key, 1.0) / relax.get(key, 1.0) for key in pool.keys])
    uses = pool.uses * factor[:, None]
    worst = uses.max(axis=0)
    fits = worst <= 1.0
    if fits.any():
        index = int(np.argmin(np.where(fits, pool.frame_mass, np.inf)))
    else:
        index = int(np.argmin(np.maximum(uses - 1.0, 0.0).sum(axis=0)))
    row = int(np.argmax(uses[:, index]))
    return Choice(index, bool(fits.any()), pool.keys[row], float(uses[row, index]))


def blocking(pool: Pool, other: int, tighten: Mapping[str, float]) -> str:
    """The use that candidate ``other`` would break first; "" where it breaks none."""
    factor = np.array([tighten.get(key, 1.0) for key in pool.keys])
    uses = pool.uses[:, other] * factor
    row = int(np.argmax(uses))
    return pool.keys[row] if uses[row] > 1.0 else ""
