"""Air against ISO 2533 table values (recalled; the standard itself was not at hand)."""

import pytest

from refledge.errors import FlightError
from refledge.flight.air import air_density, air_pressure, site_density, speed_of_sound
from refledge.model.brief import Mission


@pytest.mark.parametrize(
    ("altitude", "temperature", "pressure", "density"),
    [
        (0.0, 288.15, 101_325.0, 1.2250),
        (1000.0, 281.651, 89_876.0, 1.1117),
        (2000.0, 275.154, 79_501.0, 1.0066),
        (5000.0, 255.676, 54_048.0, 0.73643),
    ],
)
def test_standard_atmosphere(
    altitude: float, temperature: float, pressure: float, density: float
) -> None:
    # The table prints five figures: half a unit in the last place is 5e-5 or less.
    assert air_pressure(altitude) == pytest.approx(pressure, rel=5e-5)
    assert air_density(altitude, temperature) == pytest.approx(density, rel=5e-5)


def test_speed_of_sound_at_sea_level() -> None:
    assert speed_of_sound(288.15) == pytest.approx(340.294, abs=5e-4)


def test_warm_air_is_thinner_in_proportion() -> None:
    assert air_density(500.0, 310.0) * 310.0 == pytest.approx(air_density(500.0, 280.0) * 280.0)


def test_site_density_takes_the_missions_altitude_and_temperature() -> None:
    mission = Mission(hover_time=60.0, all_up_limit=1.0, altitude=2000.0, air_temperature=275.154)
    assert site_density(mission) == pytest.approx(1.0066, rel=5e-5)


@pytest.mark.parametrize(("altitude", "temperature"), [(12_000.0, 288.0), (0.0, 0.0)])
def test_refuses_what_the_model_does_not_cover(altitude: float, temperature: float) -> None:
    with pytest.raises(FlightError):
        air_density(altitude, temperature)
