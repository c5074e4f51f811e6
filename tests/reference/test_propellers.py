"""Blade-element momentum theory against two measured propellers (C4.2 of the check values).

Reference: J.B. Brandt, R.W. Deters, G.K. Ananda, O.D. Dantsker, M.S. Selig, UIUC Propeller
Database; Brandt and Selig, AIAA 2011-1255: static and axial runs and blade geometry of a 10x4.7 and
an 11x4.7 slow-fly propeller. Bands: 15 % in CT and 12 % in CP static, 12 % and 10 % axial for
advance ratios 0.15 to 0.40.

The five numbers of the default polar were identified on part of the 10x4.7's rows; no row of the
11x4.7 set any, though the polar's form was decided having seen both (docs/flight.md). The unfitted
polar misses some bands; that is kept here as tests that must go on failing.
"""

import numpy as np
import pytest

from refledge.errors import FlightError
from refledge.flight.blade_element import efficiency_bound, rotor_from_blade, rotor_load
from refledge.flight.polar import IDENTIFIED, LITERATURE, Polar
from refledge.flight.polar_fit import identify_polar
from refledge.flight.rotor import TURN, figure_of_merit
from refledge.typed import Floats
from tests.reference import uiuc

RHO = 1.225


def errors(size: str, rows: Floats, polar: Polar) -> Floats:
    """(n, 2): relative error of CT and CP in each row."""
    blade, found = uiuc.blade(size), []
    for speed, J, CT, CP in rows:
        load = rotor_load(blade, speed, RHO, J * speed / TURN * blade.diameter, polar)
        found.append((load.CT / CT - 1, load.CP / CP - 1))
    return np.abs(np.array(found))


def in_band(rows: Floats) -> Floats:
    return rows[(rows[:, 1] >= 0.15) & (rows[:, 1] <= 0.40)]


@pytest.mark.parametrize("size", uiuc.SIZES)
def test_static_coefficients(size: str) -> None:
    worst = errors(size, uiuc.static(size), IDENTIFIED).max(axis=0)
    assert worst[0] < 0.15
    assert worst[1] < 0.12


@pytest.mark.parametrize("size", uiuc.SIZES)
def test_axial_coefficients(size: str) -> None:
    worst = errors(size, in_band(uiuc.axial(size)), IDENTIFIED).max(axis=0)
    assert worst[0] < 0.12
    assert worst[1] < 0.10


def test_the_sister_propeller_is_met_as_stated_in_the_docs() -> None:
    static = errors("11x4.7", uiuc.static("11x4.7"), IDENTIFIED).max(axis=0)
    axial = errors("11x4.7", in_band(uiuc.axial("11x4.7")), IDENTIFIED).max(axis=0)
    assert np.all(static < (0.035, 0.045))
    assert np.all(axial < (0.04, 0.085))


@pytest.mark.xfail(strict=True, reason="unfitted polar: CT up to 20 % low; see docs/flight.md")
@pytest.mark.parametrize("size", uiuc.SIZES)
def test_unfitted_polar_axial_thrust(size: str) -> None:
    assert errors(size, in_band(uiuc.axial(size)), LITERATURE)[:, 0].max() < 0.12


@pytest.mark.xfail(strict=True, reason="unfitted polar: CP up to 17 % low; see docs/flight.md")
@pytest.mark.parametrize("size", uiuc.SIZES)
def test_unfitted_polar_axial_power(size: str) -> None:
    assert errors(size, in_band(uiuc.axial(size)), LITERATURE)[:, 1].max() < 0.10


@pytest.mark.xfail(strict=True, reason="unfitted polar: CP up to 22 % low; see docs/flight.md")
@pytest.mark.parametrize("size", uiuc.SIZES)
def test_unfitted_polar_static_power(size: str) -> None:
    assert errors(size, uiuc.static(size), LITERATURE)[:, 1].max() < 0.12


@pytest.mark.parametrize("size", uiuc.SIZES)
def test_unfitted_polar_meets_static_thrust(size: str) -> None:
    assert errors(size, uiuc.static(size), LITERATURE)[:, 0].max() < 0.15


@pytest.mark.parametrize("size", uiuc.SIZES)
def test_one_degree_of_blade_angle_explains_the_axial_misses(
    size: str,
) -> None:
    """Measured twist and the guessed section leave about a degree: it moves axial CT by a tenth."""
    turned = Polar(zero_lift=LITERATURE.zero_lift - np.radians(1.0))
    worst = errors(size, in_band(uiuc.axial(size)), turned).max(axis=0)
    assert worst[0] < 0.12
    assert worst[1] < 0.10


@pytest.mark.parametrize("size", uiuc.SIZES)
def test_no_row_beats_the_ideal_rotor(size: str) -> None:
    """Measured and computed efficiency lie below Froude's bound in every row (C4.2)."""
    rows, blade = uiuc.axial(size), uiuc.blade(size)
    speed, J, CT, CP = rows.T
    assert np.all(efficiency_bound(CT, J) > J * CT / CP)
    for omega, advance in zip(speed, J, strict=True):
        load = rotor_load(blade, omega, RHO, advance * omega / TURN * blade.diameter)
        bound = efficiency_bound(np.array(load.CT), np.array(advance))
        assert advance * load.CT / load.CP < bound


@pytest.mark.parametrize("size", uiuc.SIZES)
def test_figure_of_merit_is_that_of_the_measured_rotor(size: str) -> None:
    for speed, _, CT, CP in uiuc.static(size):
        load = rotor_load(uiuc.blade(size), speed, RHO)
        assert figure_of_merit(load.CT, load.CP) == pytest.approx(figure_of_merit(CT, CP), abs=0.05)


@pytest.mark.parametrize(
    ("size", "rpm", "thrust", "power", "merit"),
    [
        ("10x4.7", 6528, 7.840, 88.570, 0.7035),
        ("10x4.7", 4029, 2.662, 18.274, 0.6747),
        ("11x4.7", 6021, 9.465, 103.912, 0.7230),
    ],
)
def test_conventions_reproduce_the_worked_rows(
    size: str, rpm: float, thrust: float, power: float, merit: float
) -> None:
    """C4.2: forces from coefficients at 1.225 kg/m3."""
    rows = uiuc.static(size)
    speed, _, CT, CP = rows[np.argmin(np.abs(rows[:, 0] - rpm * TURN / 60))]
    turns, D = speed / TURN, uiuc.diameter(size)
    assert CT * RHO * turns**2 * D**4 == pytest.approx(thrust, abs=6e-4)
    assert CP * RHO * turns**3 * D**5 == pytest.approx(power, abs=6e-3)
    assert figure_of_merit(CT, CP) == pytest.approx(merit, abs=6e-5)


@pytest.mark.slow
def test_the_identified_polar_comes_from_the_ten_inch_rows_alone() -> None:
    rows = [*uiuc.static("10x4.7")[::3], *uiuc.axial("10x4.7")[3:-2:3]]
    found = identify_polar(uiuc.blade("10x4.7"), [tuple(map(float, row)) for row in rows])
    for name in ("loss", "zero_lift", "most_lift", "least_drag", "camber_power"):
        assert getattr(found, name) == pytest.approx(getattr(IDENTIFIED, name), rel=0.01, abs=1e-4)


def test_ring_count_is_enough() -> None:
    blade = uiuc.blade("11x4.7")
    coarse, fine = (rotor_load(blade, 600.0, RHO, rings=rings) for rings in (40, 160))
    assert pytest.approx(fine.CT, rel=1e-3) == coarse.CT
    assert pytest.approx(fine.CP, rel=1e-3) == coarse.CP


def test_climb_takes_thrust_and_slow_descent_gives_it() -> None:
    blade = uiuc.blade("11x4.7")
    thrust = [rotor_load(blade, 500.0, RHO, at).thrust for at in (-2.0, -1.0, 0.0, 1.0, 3.0, 6.0)]
    assert np.all(np.diff(thrust) < 0)


def test_descent_into_its_own_wake_is_refused_with_the_reason() -> None:
    blade = uiuc.blade("11x4.7")
    hover = rotor_load(blade, 500.0, RHO)
    induced = np.sqrt(hover.thrust / (2 * RHO * np.pi * blade.diameter**2 / 4))
    assert rotor_load(blade, 500.0, RHO, -0.4 * induced).thrust > hover.thrust
    with pytest.raises(FlightError, match="vortex-ring"):
        rotor_load(blade, 500.0, RHO, -0.6 * induced)


def test_scaling_at_one_tip_speed_and_Reynolds_free_polar() -> None:
    """T ~ rho n^2 D^4 exactly once the section does not know its Reynolds number."""
    free = Polar(loss=0.0, least_drag=1e-9, camber_power=0.0)
    blade = uiuc.blade("11x4.7")
    double = uiuc.BladeGeometry(
        2 * blade.diameter, 2, blade.radius, 2 * blade.chord, blade.twist, "doubled"
    )
    small = rotor_load(blade, 500.0, RHO, 3.0, free)
    large = rotor_load(double, 250.0, RHO, 3.0, free)
    assert large.thrust == pytest.approx(4 * small.thrust, rel=1e-9)
    assert large.torque == pytest.approx(8 * small.torque, rel=1e-6)
    assert rotor_load(blade, 500.0, 2 * RHO, 3.0).thrust == pytest.approx(
        2 * rotor_load(blade, 500.0, RHO, 3.0).thrust, rel=1e-12
    )


def test_model_from_geometry_says_so_and_holds_the_loads() -> None:
    blade, speeds = uiuc.blade("10x4.7"), np.linspace(250, 650, 5)
    rotor = rotor_from_blade(blade, speeds, RHO)
    assert "chord and twist" in rotor.method
    load = rotor_load(blade, 450.0, RHO)
    assert rotor.thrust(450.0, RHO) == pytest.approx(load.thrust, rel=1e-9)
    assert rotor.power(450.0, RHO) == pytest.approx(load.power, rel=1e-9)
