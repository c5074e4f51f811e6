"""What the general arrangement measures: heights over the ground, spans, discs, rotor numbers."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.geometry.folding import folded_outlines
from refledge.model.results import Placement
from refledge.outputs.drawing.callouts import mm
from refledge.outputs.drawing.whole import drawn_places, flat
from refledge.study import Study
from refledge.typed import Floats

_ON_GROUND = 3e-3
"""Points this near to the ground belong to the feet, m: our choice."""
_SAME = 5e-4
"""Heights that differ by less are one dimension, m: below what paper shows at 1:5."""
_STAND = ("leg", "leg_upper", "leg_lower", "foot")


@dataclass(frozen=True, eq=False)
class Measures:
    """Of the airframe as it stands on its feet."""

    ground: float
    """z of the ground in body axes, m."""
    heights: tuple[tuple[float, str], ...]
    """z in body axes, m, rising, and what the dimension says: mm over the ground."""
    feet: Floats
    """(2, 3): least and greatest corner of what touches the ground, m."""
    frame: Floats
    """(2, 3): of everything but discs, m."""
    discs: Floats
    """(2, 3): of the discs' circles, m."""


def measures_of(study: Study) -> Measures:
    """All of them."""
    bodies = [(place, _points(study, place)) for place in drawn_places(study)]
    every = np.concatenate([points for _, points in bodies])
    parts = np.concatenate([points for place, points in bodies if place.group == "part"])
    ground = float(parts[:, 2].min())
    centres, reach = study.layout.positions, study.brief.propeller.diameter / 2
    rim = np.array([reach, reach, 0.0])
    return Measures(
        ground,
        tuple(_once(sorted(_heights(study, bodies, ground)), ground)),
        _extent(parts[parts[:, 2] < ground + _ON_GROUND]),
        _extent(every),
        np.stack([(centres - rim).min(axis=0), (centres + rim).max(axis=0)]),
    )


def _points(study: Study, place: Placement) -> Floats:
    found: Floats = study.assembly.meshes[place.key].vertices @ place.rotation.T
    return found + place.translation


def _extent(points: Floats) -> Floats:
    return np.stack([points.min(axis=0), points.max(axis=0)])


def _heights(
    study: Study, bodies: Sequence[tuple[Placement, Floats]], ground: float
) -> Iterator[tuple[float, str]]:
    """z, m, and what is there."""
    yield ground, "ground"
    lows = [(float(p[:, 2].min()), place.name) for place, p in bodies if place.key not in _STAND]
    yield min(lows)
    for place, points in bodies:
        if place.key == "lower_plate":
            yield float(points[:, 2].min()), place.name
        if place.key == "upper_plate":
            yield float(points[:, 2].max()), place.name
    for rotor, (_, _, z) in enumerate(study.layout.positions):
        upper = "upper " if study.layout.paired and study.layout.upper[rotor] else ""
        lower = "lower " if study.layout.paired and not study.layout.upper[rotor] else ""
        yield float(z), f"{upper}{lower}propellers"
    yield max((float(points[:, 2].max()), "top") for _, points in bodies)


def _once(heights: Sequence[tuple[float, str]], ground: float) -> Iterator[tuple[float, str]]:
    """Each height once, under the name that comes first."""
    last = -np.inf
    for z, name in heights:
        if z - last > _SAME:
            yield z, f"{mm(round(z - ground, 4))} {name}"
            last = z


def circle(centre: Floats, radius: float) -> Floats:
    """(181, 2), m."""
    at = np.linspace(0.0, 2 * np.pi, 181)
    found: Floats = centre + radius * np.column_stack([np.cos(at), np.sin(at)])
    return found


def chain_lines(study: Study, name: str, low: float, high: float) -> tuple[Floats, ...]:
    """Discs and the circle of the motor axes from above; discs edge on, cut at ``low`` and
    ``high`` (m on the paper), from the sides: (n, 2), m."""
    centres, radius = study.layout.positions, study.brief.propeller.diameter / 2
    if name == "above":
        middles = {tuple(np.round(flat(name, each), 6)) for each in centres}
        discs = [circle(np.array(each), radius) for each in sorted(middles)]
        return (*discs, circle(np.zeros(2), study.layout.motor_radius), *_folded(study))
    found = []
    for z in sorted({round(float(each[2]), 6) for each in centres}):
        across = [flat(name, each)[0] for each in centres if abs(each[2] - z) < 1e-5]
        ends = max(low, min(across) - radius), min(high, max(across) + radius)
        found.append(np.array([[ends[0], z], [ends[1], z]]))
    return tuple(found)


def _folded(study: Study) -> tuple[Floats, ...]:
    """Outlines of the arms folded, from above, (n, 2), m on the paper; none of clamped arms."""
    if study.frame.hinge is None:
        return ()
    outlines = folded_outlines(study.frame, study.layout)
    return tuple(flat("above", np.column_stack([each, np.zeros(len(each))])) for each in outlines)


def disc_rim(study: Study) -> Floats:
    """A place on the rim of the disc furthest right, (2,) m from above."""
    centres = [flat("above", each) for each in study.layout.positions]
    right = max(centres, key=lambda each: (round(float(each[0]), 6), float(each[1])))
    radius, turn = study.brief.propeller.diameter / 2, np.deg2rad(35.0)
    found: Floats = right + radius * np.array([np.cos(turn), np.sin(turn)])
    return found
