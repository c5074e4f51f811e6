"""Solids that match the hand-made study's triangles, from the real kernel."""

from collections.abc import Mapping
from functools import cache

from refledge.geometry.kernel import Solid, box, cone, cut


@cache
def fake_solids() -> Mapping[str, Solid]:
    plate = cut(
        cone((0, 0, 0), 0.148, 0.148, 0.004),
        cone((0, 0, -0.001), 0.04, 0.04, 0.006),
        cone((0.05, 0, -0.001), 0.0034, 0.0034, 0.006),
    )
    return {
        "arm": box((0, -0.011, -0.011), (0.3, 0.011, 0.011)),
        "upper_plate": plate,
        "lower_plate": plate,
        "mount": cone((0, 0, 0), 0.042, 0.042, 0.005),
        "leg": box((0, -0.009, -0.12), (0.02, 0.009, 0)),
    }
