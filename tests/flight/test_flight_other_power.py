"""What the pack feeds beside the motors: it shortens flights, and words say what counts."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from refledge.errors import FlightError
from refledge.flight import along, power
from refledge.flight.landing import time_to_land
from refledge.flight.operating import full_thrust, hover
from refledge.flight.other_power import other_power, other_power_words
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.items import Condition, Placed
from refledge.model.layout import Layout

MASS, WATTS = 3.0, 40.0


@pytest.fixture
def fed(brief: Brief) -> Brief:
    """15 W for the flight controller and its company, 25 W for the payload."""
    return replace(
        brief,
        flight_controller=replace(brief.flight_controller, drawn_power=15.0),
        payload=replace(brief.payload, drawn_power=25.0),
    )


@pytest.fixture
def layout(layout_of: Callable[[str], Layout]) -> Layout:
    return layout_of("six-x")


def test_hover_draws_it_and_ends_sooner(
    brief: Brief, fed: Brief, layout: Layout, rotor: RotorModel
) -> None:
    plain, found = (hover(each, layout, rotor, MASS) for each in (brief, fed))
    assert found.power == pytest.approx(plain.power + WATTS, rel=1e-12)
    motors = sum(state.electrical_power for state in found.rotors)
    assert found.power == pytest.approx(motors + WATTS, rel=1e-9)
    seconds, _ = power.endurance(brief.battery, plain.power + WATTS)
    assert found.endurance == pytest.approx(seconds, rel=1e-9)
    assert found.endurance < plain.endurance
    assert found.battery_voltage < plain.battery_voltage
    nothing = replace(brief, payload=replace(brief.payload, drawn_power=0.0))
    assert hover(nothing, layout, rotor, MASS).endurance == plain.endurance


def unlimited(brief: Brief) -> Brief:
    """Only the pack's voltage ends full thrust."""
    return replace(
        brief,
        motor=replace(brief.motor, max_current=300.0),
        speed_controller=replace(brief.speed_controller, max_current=300.0),
        battery=replace(brief.battery, max_current=1000.0),
    )


def test_full_thrust_has_the_sag_of_all_that_is_drawn(
    brief: Brief, fed: Brief, layout: Layout, rotor: RotorModel
) -> None:
    plain, found = (full_thrust(unlimited(each), layout, rotor) for each in (brief, fed))
    assert (plain.limited_by, found.limited_by) == ("voltage", "voltage")
    assert found.total_thrust < plain.total_thrust
    rest = power.open_voltage(fed.battery, 1.0)
    sag = fed.battery.resistance * found.battery_current
    assert found.battery_voltage == pytest.approx(rest - sag, rel=1e-9)
    motors = sum(state.electrical_power for state in found.rotors)
    assert found.power == pytest.approx(motors + WATTS, rel=1e-9)


def test_the_packs_current_limit_counts_it(fed: Brief, layout: Layout, rotor: RotorModel) -> None:
    fed = unlimited(fed)
    free = full_thrust(fed, layout, rotor).battery_current
    held = replace(fed, battery=replace(fed.battery, max_current=0.8 * free))
    found = full_thrust(held, layout, rotor)
    assert found.limited_by == "battery"
    assert found.battery_current == pytest.approx(0.8 * free, rel=1e-6)


def test_cruise_and_landing_after_a_loss_feed_it_too(
    brief: Brief, fed: Brief, layout: Layout, rotor: RotorModel
) -> None:
    level = hover(brief, layout, rotor, MASS)
    times = [time_to_land(each, layout, rotor, level, 0) for each in (brief, fed)]
    assert times[1].power == pytest.approx(times[0].power + WATTS)
    assert times[1].seconds < times[0].seconds
    long = [along.best_endurance(along.craft(each, layout, rotor, MASS, 0.03))
            for each in (brief, fed)]  # fmt: skip
    assert long[1].power == pytest.approx(long[0].power + WATTS, rel=1e-4)
    assert long[1].endurance < long[0].endurance


def test_a_pack_that_cannot_give_it_is_refused(
    fed: Brief, layout: Layout, rotor: RotorModel
) -> None:
    greedy = replace(fed, payload=replace(fed.payload, drawn_power=2000.0))
    with pytest.raises(FlightError, match="the battery"):
        hover(greedy, layout, rotor, MASS)


def test_words_say_what_counts_and_what_was_not_stated(brief: Brief, fed: Brief) -> None:
    assert other_power_words(brief) == (
        "Electronics and payload draw no power in the endurance figure."
    )
    assert other_power(brief) == 0.0
    camera = Placed(name="camera", mass=0.05, condition=Condition(sound=1), length=0.03,
                    width=0.03, height=0.03)  # fmt: skip
    both = replace(fed, others=(camera,))
    assert other_power(both) == WATTS
    board, payload = fed.flight_controller.name, fed.payload.name
    assert other_power_words(both) == (
        f"Beside the motors 40.0 W are drawn: {board} 15.0 W, {payload} 25.0 W. "
        "Not stated, so left out: camera."
    )
    assert other_power(replace(both, others=(replace(camera, drawn_power=3.0),))) == WATTS + 3.0
