"""Deflected and mode shapes, load arrows, and the assembly's bodies, for the page to move."""

from collections.abc import Mapping
from typing import Any

import numpy as np

from refledge.interfaces.web.wording import json_ready
from refledge.live.shapes import arrows, body_uses, rides
from refledge.model.results import Assembly, ModeSet
from refledge.study import Study
from refledge.typed import Floats, Json

FIGURES = 6
"""Digits after the point of a shape's entries, relative to its own largest."""


def shapes_doc(study: Study, revision: int) -> dict[str, Any]:
    """The document of GET /api/shapes."""
    frame = study.assessment.structure.frame
    return {
        "revision": revision,
        "nodes": _rows(frame.nodes),
        "lines": frame.elements.tolist(),
        "cases": _cases(study),
        "modes": [*_modes("airframe", study.airframe_modes), *_modes("arm", study.arm_modes)],
        "bodies": {
            name: {"how": ride.how, "nodes": list(ride.nodes)}
            for name, ride in rides(study).items()
        },
    }


def _cases(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "key": result.case.key,
            "title": result.case.title,
            "reason": result.case.reason,
            "kind": result.case.kind,
            "displacements": _rows(result.displacements),
            "tilt_rad": json_ready(result.motor_tilt),
            "tip_m": json_ready(result.tip_deflection),
            "arrows": [
                {"at": json_ready(each.at), "vector": json_ready(each.vector), "label": each.label}
                for each in arrows(study, result)
            ],
            "use": json_ready(body_uses(study, result)),
        }
        for result in study.assessment.results
    ]


def _modes(of: str, found: ModeSet) -> list[dict[str, Any]]:
    felt = found.felt.tolist()
    return [
        {
            "of": of,
            "index": index,
            "hz": json_ready(hz),
            "label": found.labels[index],
            "felt": json_ready(felt[index]),
            "shape": _rows(found.shapes[index]),
        }
        for index, hz in enumerate(found.frequencies.tolist())
    ]


def _rows(values: Floats) -> Json:
    """Numbers to FIGURES digits of the largest: enough to draw by, and a third of the bytes."""
    largest = float(np.abs(values).max(initial=0.0))
    if largest == 0.0:
        return values.tolist()
    digits = FIGURES - int(np.floor(np.log10(largest)))
    return (np.round(values, digits) + 0.0).tolist()


def assembly_doc(
    assembly: Assembly, meshes: Mapping[str, str], solids: str, revision: int
) -> dict[str, Any]:
    """The document of GET /api/assembly. meshes: key to name of the contents."""
    return {
        "revision": revision,
        "solids": solids,
        "bodies": [
            {
                "name": each.name,
                "key": each.key,
                "group": each.group,
                "matrix": _matrix(each.rotation, each.translation),
            }
            for each in assembly.placements
        ],
        "meshes": dict(meshes),
        "overlaps": list(assembly.overlaps),
        "least_gap": json_ready(assembly.least_gap),
    }


def _matrix(rotation: Floats, translation: Floats) -> Json:
    """Sixteen numbers, column by column."""
    matrix = np.eye(4)
    matrix[:3, :3] = rotation
    matrix[:3, 3] = translation
    return (np.round(matrix.T.ravel(), 12) + 0.0).tolist()
