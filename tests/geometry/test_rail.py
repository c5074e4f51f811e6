"""Payload rails and their carrier: the carrier slides, the pins go through both."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import GeometryError
from refledge.geometry import kernel
from refledge.geometry.parts import part_quantities
from refledge.geometry.placing import place_all
from refledge.geometry.rail import carrier_level, make_carrier, make_rail
from refledge.geometry.tray import make_tray
from refledge.model.parts import FrameDesign
from refledge.typed import Floats
from tests.geometry.briefs import brief
from tests.geometry.frames import HARDWARE, frame, layout, railed_frame


def put(one: FrameDesign) -> dict[str, tuple[Floats, Floats]]:
    return {
        each.name: (each.rotation, each.translation)
        for each in place_all(one, layout("six-x", one), brief())
    }


@pytest.mark.parametrize("yaw", [0.0, np.pi / 2])
def test_the_carrier_slides_between_both_rails_and_is_held_otherwise(yaw: float) -> None:
    one = railed_frame()
    one = replace(one, tray=replace(one.tray, yaw=yaw))
    places, gap = put(one), one.fit_gap
    rails = [kernel.move(make_rail(one, HARDWARE), *places[f"payload rail {n}"]) for n in (1, 2)]
    rotation, at = places["payload carrier"]

    def met(*shift: float) -> float:
        moved = kernel.move(make_carrier(one, HARDWARE), rotation, at + rotation @ np.array(shift))
        return max(kernel.volume(kernel.common(moved, each)) for each in rails)

    for free in ((0, 0, 0), (0.02, 0, 0), (0, 0.9 * gap, 0), (0, 0, 0.9 * gap), (0, 0, -0.9 * gap)):
        assert met(*free) < 1e-14, free
    for shut in ((0, 1.2 * gap, 0), (0, -1.2 * gap, 0), (0, 0, 1.2 * gap), (0, 0, -1.2 * gap)):
        assert met(*shut) > 1e-12, shut


@pytest.mark.parametrize("strap", [0.0, 0.010])
def test_one_pin_goes_through_each_rail_and_the_carrier(strap: float) -> None:
    """A rod as thick as the screw, upright at a rail's pin, meets no plastic."""
    one = railed_frame(strap)
    places, under = put(one), -one.plate_gap / 2 - one.plate.thickness - one.tray.hang
    solids = {"rail": make_rail(one, HARDWARE), "carrier": make_carrier(one, HARDWARE)}
    x = one.rail.length / 2 - 5.5e-3  # type: ignore[union-attr]
    y = one.tray.width / 2 + one.rail.gap - 7e-3  # type: ignore[union-attr]
    low = under - one.rail.height - 1e-3  # type: ignore[union-attr]
    for cx, cy in ((x, y), (-x, -y)):
        rod = kernel.cone((cx, cy, low), 3e-3, 3e-3, 20e-3)
        thick = kernel.cone((cx, cy, low), 5e-3, 5e-3, 20e-3)
        met = []
        for name in ("payload rail 1", "payload rail 2", "payload carrier"):
            key = "carrier" if "carrier" in name else "rail"
            body = kernel.move(solids[key], *places[name])
            assert kernel.volume(kernel.common(body, rod)) < 1e-14, name
            met.append(kernel.volume(kernel.common(body, thick)) > 1e-9)
        assert sum(met) == 2, "a rail and the carrier"


def test_the_tray_s_shelves_lie_on_the_flanges() -> None:
    one = railed_frame()
    low, high = kernel.bounds(make_rail(one, HARDWARE))
    assert (low[2], high[2]) == pytest.approx((-0.060, 0.0))
    assert high[1] + 0.006 == pytest.approx(one.tray.shelf)
    low, high = kernel.bounds(make_tray(one, HARDWARE))
    assert high[1] == pytest.approx(one.tray.width / 2 + one.tray.shelf)
    assert carrier_level(one) == pytest.approx(-0.056)
    assert part_quantities(one)["rail"] == 2
    assert not {"rail", "carrier"} & set(part_quantities(frame()))


def test_what_does_not_fit_is_refused() -> None:
    with pytest.raises(GeometryError, match="no payload rails"):
        make_rail(frame(), HARDWARE)
    one = railed_frame()
    low = replace(one, rail=replace(one.rail, height=0.015))  # type: ignore[type-var]
    with pytest.raises(GeometryError, match=r"payload rail: 15\.0 mm high"):
        make_rail(low, HARDWARE)
