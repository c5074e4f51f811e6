"""What each part feels, line by line, and which of its faces meet others: for choosing poses."""

from collections.abc import Iterator

import numpy as np

from refledge.airframe.stressing import bar_stress
from refledge.errors import GeometryError
from refledge.geometry.features import part_features
from refledge.geometry.named import Disc, Plane
from refledge.printing.orienting import Facing, Fibre
from refledge.study import Study
from refledge.typed import Floats

_BARS = {
    "arm": "arm",
    "arm_inner": "arm",
    "arm_outer": "arm",
    "leg": "leg",
    "leg_upper": "leg",
    "leg_lower": "leg",
    "upper_plate": "plates",
    "lower_plate": "plates",
}
"""Which bars of the beam frame stand for a printed part; others have no stress results of their
own."""


def part_fibres(study: Study, key: str) -> list[Fibre]:
    """Every bar of a part at its worst load case, in part axes; empty where no bar stands for it,
    and for grown parts, whose beams have no fibres.

    Stresses are times the brief's factor for the kind of case.
    """
    structure, limits = study.assessment.structure, study.brief.limits
    rows = structure.beams_of(_BARS[key]) if key in _BARS and not grown_part(study, key) else []
    turns = _turns(study, key)
    found = []
    for row in rows:
        bar = structure.bars[row]
        nodes = structure.frame.nodes
        axis = nodes[bar.b] - bar.start(nodes)
        turn = turns[bar.index % len(turns)]
        worst, title = (0.0, 0.0), ""
        for result in study.assessment.results:
            flight = result.case.kind == "flight"
            factor = limits.flight_factor if flight else limits.landing_factor
            normal, shear = bar_stress(bar, result.forces[row])
            here = factor * float(normal.max()), factor * float(shear.max())
            if sum(here) > sum(worst):
                worst, title = here, result.case.title
        material = bar.material
        along = np.asarray(turn.T @ axis, dtype=float) / float(np.linalg.norm(axis))
        found.append(Fibre(along, *worst, material.strength_z, material.shear_z, title))
    return found


def grown_part(study: Study, key: str) -> bool:
    """Whether a part was grown, and so solved, for the one pose that it has."""
    return key == "arm" and study.frame.arm.grown is not None


def _turns(study: Study, key: str) -> list[Floats]:
    """(3, 3) of each copy of a part, in the order of placing: part axes to body axes."""
    copies = [each.rotation for each in study.assembly.placements if each.key == key]
    return copies or [np.eye(3)]


def mating_faces(study: Study, key: str) -> list[Facing]:
    """Faces of a part that others bear on."""
    return list(_facings(study, key))


def _facings(study: Study, key: str) -> Iterator[Facing]:
    try:
        features = part_features(key, study.frame, study.task.hardware, study.layout)
    except GeometryError:  # a part without named faces
        return
    for feature in features.values():
        if isinstance(feature, Plane):
            outline = feature.outline
            area = (
                np.pi * outline.radius**2
                if isinstance(outline, Disc)
                else outline.length * outline.width
            )
            yield Facing(np.array(feature.normal, dtype=float), float(area))
