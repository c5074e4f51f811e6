"""Full thrust and the range of speeds: the tightest limit stops them."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight.operating import full_thrust, hover, speed_range, thrust_at_throttle
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from tests.flight.test_flight_operating import MASS, Maker


@pytest.mark.parametrize("kind", ["six-x", "three-pairs"])
def test_more_throttle_gives_more_thrust_and_more_sag(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str
) -> None:
    points = [thrust_at_throttle(brief, layout_of(kind), rotor, t) for t in (0.1, 0.3, 0.6, 1.0)]
    thrust = [point.total_thrust for point in points]
    volts = [point.battery_voltage for point in points]
    assert thrust == sorted(thrust)
    assert volts == sorted(volts, reverse=True)


@pytest.mark.parametrize("kind", ["six-x", "four-pairs"])
@pytest.mark.parametrize("limit", ["motor", "controller", "battery", "voltage"])
def test_full_thrust_stops_at_the_tightest_limit(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str, limit: str
) -> None:
    amps = {"motor": 300.0, "controller": 300.0, "battery": 1000.0}
    amps |= {"motor": 12.0} if limit == "motor" else {}
    amps |= {"controller": 12.0} if limit == "controller" else {}
    amps |= {"battery": 50.0} if limit == "battery" else {}
    tight = replace(
        brief,
        motor=replace(brief.motor, max_current=amps["motor"]),
        speed_controller=replace(brief.speed_controller, max_current=amps["controller"]),
        battery=replace(brief.battery, max_current=amps["battery"]),
    )
    point = full_thrust(tight, layout_of(kind), rotor)
    assert point.limited_by == limit
    most = max(state.current for state in point.rotors)
    if limit in ("motor", "controller"):
        assert most == pytest.approx(12.0, rel=1e-6)
    elif limit == "battery":
        assert point.battery_current == pytest.approx(50.0, rel=1e-6)
    else:
        assert point.rotors[0].throttle == pytest.approx(1.0, rel=1e-9)
    assert point.endurance == 0.0


def test_full_thrust_refuses_limits_below_idle(
    brief: Brief, rotor: RotorModel, layout_of: Maker
) -> None:
    tiny = replace(brief, motor=replace(brief.motor, max_current=0.01))
    with pytest.raises(FlightError, match="idle"):
        full_thrust(tiny, layout_of("six-x"), rotor)


@pytest.mark.parametrize(("kind", "n_speeds"), [("six-x", 1), ("three-pairs", 2)])
def test_speed_range_spans_idle_to_full(
    brief: Brief, rotor: RotorModel, layout_of: Maker, kind: str, n_speeds: int
) -> None:
    layout = layout_of(kind)
    at, full = hover(brief, layout, rotor, MASS), full_thrust(brief, layout, rotor)
    speeds = speed_range(brief, layout, rotor, at, full)
    assert np.all(np.diff(speeds.speed) > 0)
    assert speeds.throttle[0] == pytest.approx(0.05)
    assert speeds.idle_speed == speeds.speed[0]
    assert speeds.speed[-1] == pytest.approx(full.rotors[0].speed, rel=1e-7)
    assert speeds.full_speed == max(state.speed for state in full.rotors)
    assert len(speeds.hover_speeds) == n_speeds
    assert speeds.hover_speeds == pytest.approx([s.speed for s in at.rotors[:n_speeds]])
    assert speeds.blades == 2


@pytest.mark.parametrize("throttle", [0.0, -0.1, 1.1])
def test_throttle_outside_its_range_is_refused(
    brief: Brief, rotor: RotorModel, layout_of: Maker, throttle: float
) -> None:
    with pytest.raises(FlightError, match="throttle"):
        thrust_at_throttle(brief, layout_of("six-x"), rotor, throttle)
