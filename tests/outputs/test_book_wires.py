"""The build book's wires: gauges, holes, lengths, which way the leads go."""

from dataclasses import replace

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight.wires import LASTING, SHORT, bundle, gauge, gauge_for
from refledge.outputs.book.blocks import Words
from refledge.outputs.book.checking import wiring
from refledge.outputs.book.filled_in import filled_in
from refledge.outputs.book.wiring import way, wires
from refledge.study import Study


def test_speed_controllers_lie_on_a_floor_or_are_tied_to_the_arms(study: Study) -> None:
    whole = replace(study.frame, plate=replace(study.frame.plate, style="full"))
    words = filled_in(replace(study, frame=whole))
    assert "onto the lower plate" in words["controllers"]
    assert words["controller_ties"] == ""
    tied = filled_in(study)
    assert "to the side of each arm's root" in tied["controllers"]
    assert "cable tie round both plates" in tied["controller_ties"]


def test_gauges_are_those_of_the_standard() -> None:
    """ASTM B258: AWG 36 is 0.127 mm, AWG 0000 (-3) is 11.684 mm, by definition."""
    assert gauge(36).area == pytest.approx(np.pi / 4 * 0.127e-3**2)
    assert gauge(-3).area == pytest.approx(np.pi / 4 * 11.684e-3**2, rel=1e-9)
    assert gauge(24).resistance == pytest.approx(84.2e-3, rel=0.01)  # 84.2 mohm/m, handbook


def test_the_gauge_is_the_thinnest_that_carries_both_currents() -> None:
    for lasting, short in ((1, 2), (10, 12), (21, 84), (60, 70)):
        found = gauge_for(lasting, short)
        assert lasting / found.area <= LASTING
        assert short / found.area <= SHORT
        thinner = gauge(found.awg + 2)
        if found.awg < 22:
            assert lasting / thinner.area > LASTING or short / thinner.area > SHORT
    with pytest.raises(FlightError, match="more cells"):
        gauge_for(100, 3000)


def test_round_holes_pass_bundles() -> None:
    """Three circles of radius r: their middles lie 2 r / sqrt(3) from the bundle's."""
    wire = gauge(18)
    assert wire.outside == pytest.approx(2.4e-3, abs=0.1e-3)
    assert gauge(22).outside == pytest.approx(1.7e-3, abs=0.05e-3)
    assert gauge(10).outside == pytest.approx(5.5e-3, abs=0.05e-3)
    assert bundle(3, wire) == pytest.approx(wire.outside * (1 + 2 / np.sqrt(3)))
    assert bundle(6, wire) == pytest.approx(3 * wire.outside)  # six round one


@pytest.mark.parametrize(
    ("per_arm", "bore", "said"),
    [(1, 8e-3, "draw them through"), (2, 5e-3, "those of the lower motor"), (1, 2e-3, "underside")],
)
def test_the_book_says_which_way_the_motor_leads_go(
    study: Study, per_arm: int, bore: float, said: str
) -> None:
    mount, arm = study.frame.mount, study.frame.arm
    frame = replace(study.frame, mount=replace(mount, per_arm=per_arm), arm=replace(arm, bore=bore))
    words = way(replace(study, frame=frame))
    assert said in words
    assert f"{3 * per_arm} together" in words
    assert way(study) in [b.text for b in wiring(study).blocks if isinstance(b, Words)]


def test_wires_reach_and_count_right(study: Study) -> None:
    motor, supply, battery, *_ = wires(study)
    assert motor.number == 3 * study.layout.n_rotors
    assert supply.number == 2 * study.layout.n_rotors
    reach = float(np.hypot(*study.layout.positions[0][:2])) - study.frame.plate.outer_radius
    assert motor.length > reach
    assert battery.full == study.full.battery_current
    expected = battery.hover * battery.length / (58e6 * battery.gauge.area)
    assert battery.lost == pytest.approx(expected)
