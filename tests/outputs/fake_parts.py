"""The hand-made study's parts: their surfaces, where they stand, what is printed."""

from typing import Any

import numpy as np

from refledge.model.results import (
    PartSpec,
    Placement,
    TriMesh,
)
from tests.outputs.shapes import box, cylinder, ring

N = 6


RADIUS = 0.31


ANGLES = np.deg2rad([-30.0, -90.0, -150.0, 150.0, 90.0, 30.0])


def turn(angle: float) -> Any:
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def meshes() -> dict[str, TriMesh]:
    return {
        "arm": box(0.3, 0.022, 0.022, (0.0, -0.011, -0.011)),
        "upper_plate": ring(0.074, 0.02, 0.0, 0.004),
        "lower_plate": ring(0.074, 0.02, 0.0, 0.004),
        "mount": cylinder(0.021, 0.0, 0.005),
        "leg": box(0.02, 0.018, 0.12, (0.0, -0.009, -0.12)),
        "motor": cylinder(0.021, 0.0, 0.03),
        "battery": box(0.165, 0.06, 0.035, (-0.0825, -0.03, -0.0175)),
        "disc": cylinder(0.1397, 0.0, 0.012, 72),
    }


def placements() -> tuple[Placement, ...]:
    eye = np.eye(3)
    found = [
        Placement("upper_plate", "upper plate", "part", eye, np.array([0.0, 0.0, 0.011])),
        Placement("lower_plate", "lower plate", "part", eye, np.array([0.0, 0.0, -0.015])),
        Placement("battery", "battery", "item", eye, np.array([0.0, 0.0, -0.036])),
    ]
    for k, angle in enumerate(ANGLES):
        out = np.array([np.cos(angle), np.sin(angle), 0.0])
        found += [
            Placement("arm", f"arm {k + 1}", "part", turn(angle), 0.034 * out),
            Placement("mount", f"mount {k + 1}", "part", eye, RADIUS * out + [0, 0, 0.011]),
            Placement("motor", f"motor {k + 1}", "item", eye, RADIUS * out + [0, 0, 0.016]),
            Placement("disc", f"disc {k + 1}", "disc", eye, RADIUS * out + [0, 0, 0.046]),
        ]
        if k in (0, 2, 3, 5):
            found.append(
                Placement("leg", f"leg {k + 1}", "part", turn(angle), 0.06 * out - [0, 0, 0.015])
            )
    return tuple(found)


def parts() -> tuple[PartSpec, ...]:
    def spec(key: str, name: str, n: int, mass: float, size: tuple[float, float, float]) -> Any:
        flip = np.diag([1.0, -1.0, -1.0]) if key == "arm" else np.eye(3)
        return PartSpec(
            key=key, name=name, quantity=n, material="PETG", printed=True, volume=mass / 1270,
            mass=mass, size=size, print_rotation=flip,
            print_note="Top face down: no support." if key == "arm" else "Flat face down.",
            fits_bed=True,
        )  # fmt: skip

    return (
        spec("arm", "arm", 6, 0.046, (0.3, 0.022, 0.022)),
        spec("upper_plate", "upper plate", 1, 0.071, (0.148, 0.148, 0.004)),
        spec("lower_plate", "lower plate", 1, 0.073, (0.148, 0.148, 0.004)),
        spec("mount", "motor mount", 6, 0.012, (0.042, 0.042, 0.005)),
        spec("leg", "leg", 4, 0.025, (0.02, 0.018, 0.12)),
    )
