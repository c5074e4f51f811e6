"""Landing on the rotors that are left."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from refledge.errors import FlightError
from refledge.flight.landing import time_to_land
from refledge.flight.operating import hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout


@pytest.mark.parametrize("kind", ["six-x", "three-pairs", "eight-x"])
def test_less_time_at_more_power(
    kind: str, brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    layout = layout_of(kind)
    point = hover(brief, layout, rotor, 2.6)
    left = time_to_land(brief, layout, rotor, point, 0)
    assert left.power > point.power
    share = (0.5 - (1 - brief.battery.usable)) / brief.battery.usable
    assert 0 < left.seconds < share * point.endurance
    later = time_to_land(brief, layout, rotor, point, 0, charge=0.3)
    assert later.seconds < left.seconds


def test_hardest_motor_works_by_the_trims_factor(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    """Flat: the peak rotor's throttle is that of a hover with every rotor at that thrust."""
    layout = layout_of("six-x")
    point = hover(brief, layout, rotor, 2.0)
    left = time_to_land(brief, layout, rotor, point, 2)
    heavy = hover(brief, layout, rotor, 2.0 * left.trim.factor)
    volts = heavy.rotors[0].throttle * heavy.battery_voltage
    assert left.trim.factor == pytest.approx(1.5, abs=0.02)
    pack = replace(brief.battery, resistance=1e-3)
    stiff = time_to_land(replace(brief, battery=pack), layout, rotor, point, 2)
    assert stiff.throttle == pytest.approx(volts / (brief.battery.cells * 3.84), rel=2e-3)


def test_what_cannot_be_held_is_said(
    brief: Brief, layout_of: Callable[[str], Layout], rotor: RotorModel
) -> None:
    four = layout_of("four-x")
    with pytest.raises(FlightError, match="level"):
        time_to_land(brief, four, rotor, hover(brief, four, rotor, 2.0), 0)
    six, weak = layout_of("six-x"), replace(brief, motor=replace(brief.motor, max_current=9.0))
    with pytest.raises(FlightError, match="more than it has"):
        time_to_land(weak, six, rotor, hover(weak, six, rotor, 3.0), 0)
