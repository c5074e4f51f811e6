"""One arm and changes to it: how far each moves the tip under the same weight."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.analysis.sections import Section
from refledge.errors import AnalysisError
from refledge.model.comparing import Candidate


@dataclass(frozen=True, eq=False)
class Stretch:
    """A length of the arm with one section."""

    length: float  # m
    section: Section
    """Scalars; see refledge.analysis.sections."""


def tip_compliance(stretches: Sequence[Stretch], E: float, G: float) -> float:
    """Tip deflection for a tip load, m/N, of stretches in order from the clamp to the tip.

    Castigliano's theorem on each stretch: (a^3 - b^3) / (3 E I) + (a - b) / (G A_z), with a and b
    the distances of its ends from the load (Timoshenko, Strength of Materials). A stretch is taken
    to carry as one section at once: where a lattice begins its chord needs a panel or two to take
    up its force, so short lattices are a little flattered.
    """
    if not stretches or any(s.length <= 0 for s in stretches):
        raise AnalysisError("an arm needs stretches of a length above zero")
    total = 0.0
    ahead = sum(s.length for s in stretches)
    for each in stretches:
        a, b = ahead, ahead - each.length
        total += (a**3 - b**3) / (3 * E * float(each.section.Iy))
        total += (a - b) / (G * float(each.section.Az))
        ahead = b
    return total


def plastic_volume(stretches: Sequence[Stretch]) -> float:
    """m3, ribs and diagonals counted."""
    return float(np.sum([s.length * float(s.section.volume_per_length) for s in stretches]))


def variants(
    arms: Mapping[str, Sequence[Stretch]],
    E: tuple[float, float],
    ratio: float,
    rho: tuple[float, float],
    model_spread: float,
) -> tuple[Candidate, ...]:
    """Candidates for ``comparing``: E and rho as (value, relative spread), ``ratio`` E/G.

    All variants are of one plastic, so its spread is common to them and does not blur their order:
    only ``model_spread``, what the beam model may err from one variant to another, counts.
    """
    found = []
    for name, stretches in arms.items():
        stiffness = 1 / tip_compliance(stretches, E[0], E[0] / ratio)
        mass = rho[0] * plastic_volume(stretches)
        found.append(
            Candidate(
                name=name,
                E=E,
                rho=rho,
                predicted_stiffness=(stiffness, model_spread),
                mass=(mass, 0.0),
            )
        )
    return tuple(found)
