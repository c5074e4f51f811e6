"""Battery tray: bending at the screws by hand, the thinnest that holds."""

from dataclasses import replace
from math import hypot

import pytest

from refledge.airframe.judge import reserve
from refledge.airframe.sizing import Sized
from refledge.airframe.task import Task
from refledge.airframe.tray import SLOT_PEAK, THICKEST, size_tray, tray_stress
from refledge.model.hung import TrayDesign

LAYER = 0.2e-3


@pytest.fixture
def tray(sized: Sized) -> TrayDesign:
    return replace(sized.frame.tray, thickness=3.2e-3)


def test_stress_of_a_cantilever_from_the_screws(tray: TrayDesign) -> None:
    """Half the battery's pull at 0.3 of the length: M = F a, sigma = 6 M / (w t^2)."""
    pull = 0.76 * hypot(60.0, 30.0) / 2
    arm = 0.3 * tray.length - tray.pitch_x / 2
    expected = SLOT_PEAK * 6 * pull * arm / (tray.width * tray.thickness**2)
    assert tray_stress(tray, 0.76, (60.0, 30.0)) == pytest.approx(expected)
    short = replace(tray, length=0.9 * tray.pitch_x)
    assert tray_stress(short, 0.76, (60.0, 30.0)) == 0.0


@pytest.mark.parametrize("up", [5.0, 200.0, 280.0])
def test_the_thinnest_that_holds_in_whole_layers(task: Task, tray: TrayDesign, up: float) -> None:
    material = task.materials["ASA"]
    found = size_tray(tray, material, 0.76, (up, up / 2), 1.3, LAYER)
    limit = material.strength_xy / 1.3 / (1 + reserve(material.strength_spread))
    layers = found.thickness / LAYER
    assert layers == pytest.approx(round(layers))
    assert tray_stress(found, 0.76, (up, up / 2)) <= limit
    assert (found.thickness > tray.thickness) == (up > 100.0)
    if found.thickness > tray.thickness:
        thinner = replace(found, thickness=found.thickness - 2 * LAYER)
        assert tray_stress(thinner, 0.76, (up, up / 2)) > limit


def test_no_tray_is_thicker_than_its_room(task: Task, tray: TrayDesign) -> None:
    found = size_tray(tray, task.materials["ASA"], 5.0, (900.0, 0.0), 1.3, LAYER)
    assert THICKEST - 2 * LAYER < found.thickness <= THICKEST + 1e-9
