"""Named bores and faces of the drawing as regions of a mesh."""

from collections.abc import Iterable

import numpy as np

from refledge.errors import AnalysisError
from refledge.geometry.named import Bore, Disc, Features, Plane
from refledge.solids import regions
from refledge.solids.regions import Region

Triple = tuple[float, float, float]


def region(feature: Bore | Plane) -> Region:
    """The mesh region of one feature."""
    if isinstance(feature, Bore):
        half = feature.length / 2
        return regions.Bore(feature.centre, feature.axis, feature.radius, -half, half)
    if isinstance(feature.outline, Disc):
        return regions.Ring(feature.origin, feature.normal, 0.0, feature.outline.radius)
    along = (1.0, 0.0, 0.0)
    outline = feature.outline
    return regions.Rectangle(feature.origin, feature.normal, along, outline.length, outline.width)


def origin(feature: Bore | Plane) -> Triple:
    """Middle of a feature, m."""
    return feature.centre if isinstance(feature, Bore) else feature.origin


def level(feature: Bore | Plane) -> regions.Plane:
    """The whole modelled face in the plane of a flat feature."""
    if isinstance(feature, Bore):
        raise AnalysisError("a bore is not a flat face")
    return regions.Plane(feature.origin, feature.normal)


def bores(features: Features, name: str) -> tuple[Region, ...]:
    """All bores ``name``_1, ``name``_2 and so on."""
    found = [feature for key, feature in features.items() if key.startswith(f"{name}_")]
    return tuple(region(each) for each in found if isinstance(each, Bore))


def rings(features: Features, name: str, outer: float, ends: Iterable[int]) -> tuple[Region, ...]:
    """Rings of ``outer`` radius (m) round the mouths of all bores ``name``_k.

    ends: +1 for the mouth along the bore's axis, -1 for the other.
    """
    made = []
    for key, feature in features.items():
        if not key.startswith(f"{name}_") or not isinstance(feature, Bore):
            continue
        axis = np.array(feature.axis)
        for end in ends:
            mouth = np.array(feature.centre) + end * feature.length / 2 * axis
            made.append(regions.Ring(triple(mouth), triple(end * axis), feature.radius, outer))
    return tuple(made)


def triple(vector: np.ndarray) -> Triple:
    """Three plain numbers."""
    return (float(vector[0]), float(vector[1]), float(vector[2]))
