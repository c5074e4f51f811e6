"""Materials or arm variants side by side, ranked with how sure the ranking is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import erf, hypot, isnan, log, nan, sqrt

import numpy as np

from refledge.errors import AnalysisError
from refledge.model.comparing import Candidate, Ranked
from refledge.model.materials import MaterialCard

DRAWS = 20_000
SEED = 5
TIE = 0.75
"""Confidence below which two are called level: ours."""


@dataclass(frozen=True)
class Index:
    """A merit index: stiffness for mass of one kind of member."""

    key: str
    formula: str
    power: float
    """Of E; divided by rho."""
    applies: str


INDICES: Mapping[str, Index] = {
    "tie": Index(
        "tie",
        "E / rho",
        1.0,
        "a member pulled or pushed along its length, and any shape whose outline and walls are "
        "given and only the plastic is exchanged: an arm printed from the same file",
    ),
    "beam": Index(
        "beam",
        "E^(1/2) / rho",
        0.5,
        "a beam in bending whose section may grow in both directions alike: a solid arm or leg "
        "sized anew for each material",
    ),
    "panel": Index(
        "panel",
        "E^(1/3) / rho",
        1 / 3,
        "a plate in bending of given outline whose thickness is free: centre plates, and the wall "
        "depth of an arm of fixed width",
    ),
}
"""Ashby, Materials Selection in Mechanical Design, indices of light, stiff tie, beam and panel."""


def candidate_of(card: MaterialCard) -> Candidate:
    """A material by its card, in the plane of the layers."""
    return Candidate(
        name=card.name,
        E=(card.E_xy.value, card.E_xy.spread),
        rho=(card.rho.value, card.rho.spread),
        heat_limit=card.heat_deflection.value,
        creep_factor=card.creep_factor.value,
        price=(card.price_low.value + card.price_high.value) / 2,
    )


def merit(candidate: Candidate, index: Index) -> tuple[float, float]:
    """E^power / rho and its relative standard uncertainty (JCGM 100, 5.1.6)."""
    (E, u), (rho, v) = candidate.E, candidate.rho
    return E**index.power / rho, hypot(index.power * u, v)


def stiffness_per_mass(candidate: Candidate) -> tuple[float, float]:
    """Measured stiffness over mass where there is one, otherwise predicted, N/(m kg)."""
    stiffness = candidate.measured_stiffness or candidate.predicted_stiffness
    if stiffness is None or candidate.mass is None:
        raise AnalysisError(f"{candidate.name}: no stiffness or no mass to compare by")
    return stiffness[0] / candidate.mass[0], hypot(stiffness[1], candidate.mass[1])


def confidence(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Probability that a is greater than b; (value, relative uncertainty), lognormal, apart."""
    both = hypot(a[1], b[1])
    if both == 0:
        return 0.5 if a[0] == b[0] else float(a[0] > b[0])
    return 0.5 * (1 + erf(log(a[0] / b[0]) / both / sqrt(2)))


def rank(figures: Mapping[str, tuple[float, float]]) -> tuple[Ranked, ...]:
    """Best first: (value, relative uncertainty) by name, more is better, errors independent."""
    order = sorted(figures, key=lambda name: -figures[name][0])
    if any(figures[name][0] <= 0 for name in order):
        raise AnalysisError("only figures above zero can be ranked")
    best = _chance_of_best([figures[name] for name in order])
    places = []
    for i, name in enumerate(order):
        value, spread = figures[name]
        after = order[i + 1] if i + 1 < len(order) else ""
        sure = confidence(figures[name], figures[after]) if after else nan
        places.append(Ranked(name, value, spread, best[i], sure, _words(name, after, sure)))
    return tuple(places)


def _chance_of_best(figures: Sequence[tuple[float, float]]) -> list[float]:
    rng = np.random.default_rng(SEED)
    logs = np.array([log(v) for v, _ in figures])[:, None]
    spread = np.array([u for _, u in figures])[:, None]
    drawn = logs + spread * rng.standard_normal((len(figures), DRAWS))
    counts = np.bincount(np.argmax(drawn, axis=0), minlength=len(figures))
    return [float(c) / DRAWS for c in counts]


def _words(name: str, after: str, sure: float) -> str:
    if isnan(sure):
        return f"{name} comes last"
    if sure < TIE:
        return f"{name} and {after} are level ({sure:.0%} confidence)"
    shown = "over 99 %" if sure > 0.99 else f"{100 * sure:.0f} %"
    return f"{name} is better than {after} with {shown} confidence"


def rank_materials(candidates: Sequence[Candidate], index: Index) -> tuple[Ranked, ...]:
    """Materials by one index."""
    return rank({each.name: merit(each, index) for each in candidates})


def rank_variants(candidates: Sequence[Candidate]) -> tuple[Ranked, ...]:
    """Arm variants by stiffness for mass."""
    return rank({each.name: stiffness_per_mass(each) for each in candidates})


def stiffness_from_deflection(
    load: float, deflection: float, reading: float
) -> tuple[float, float]:
    """(N/m, relative uncertainty) of a plain reading known to ``reading`` (m, standard)."""
    return load / deflection, reading / deflection
