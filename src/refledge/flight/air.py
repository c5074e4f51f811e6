"""Air at the site: pressure of the standard atmosphere, temperature as it is on the day.

Formulas: ISO 2533, Standard Atmosphere; its constants stand in data/air.csv.
"""

import math

from refledge.data.tables import number, read_rows
from refledge.errors import FlightError
from refledge.model.brief import Mission

_TABLE = {row["name"]: number(row, "value", "air") for row in read_rows("air")}
GRAVITY = _TABLE["gravity"]  # m/s2
SEA_LEVEL_PRESSURE = _TABLE["sea_level_pressure"]  # Pa
SEA_LEVEL_TEMPERATURE = _TABLE["sea_level_temperature"]  # K
LAPSE = -_TABLE["lapse_rate"]  # K/m, fall with height up to the tropopause
GAS_CONSTANT = _TABLE["gas_constant"]  # J/(kg K), dry air
HEAT_RATIO = _TABLE["heat_capacity_ratio"]  # ratio of specific heats
EARTH_RADIUS = 6_356_766.0  # m, nominal
LOWEST, HIGHEST = -2000.0, 11_000.0  # m, the lowest layer of the standard


def air_pressure(altitude: float) -> float:
    """Standard pressure, Pa, at geometric ``altitude``, m (ISO 2533, layer of constant lapse)."""
    if not LOWEST <= altitude <= HIGHEST:
        raise FlightError(
            f"altitude {altitude:g} m: the air model covers {LOWEST:g}..{HIGHEST:g} m"
        )
    geopotential = EARTH_RADIUS * altitude / (EARTH_RADIUS + altitude)
    ratio = 1 - LAPSE * geopotential / SEA_LEVEL_TEMPERATURE
    return SEA_LEVEL_PRESSURE * float(ratio ** (GRAVITY / (GAS_CONSTANT * LAPSE)))


def air_density(altitude: float, temperature: float) -> float:
    """Density of dry air, kg/m3: standard pressure at ``altitude``, m, and ``temperature``, K."""
    if not temperature > 0:
        raise FlightError(f"air temperature {temperature:g} K is not above absolute zero")
    return air_pressure(altitude) / (GAS_CONSTANT * temperature)


def speed_of_sound(temperature: float) -> float:
    """Speed of sound, m/s, in dry air at ``temperature``, K."""
    return math.sqrt(HEAT_RATIO * GAS_CONSTANT * temperature)


def site_density(mission: Mission) -> float:
    """Density of the air where and when the mission flies, kg/m3."""
    return air_density(mission.altitude, mission.air_temperature)
