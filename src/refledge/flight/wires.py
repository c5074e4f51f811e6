"""Which wire carries which current: gauges, their areas and what they lose."""

from dataclasses import dataclass
from math import pi
from typing import Final

from refledge.errors import FlightError

LASTING: Final = 8e6
"""Current density allowed for as long as the aircraft hovers, A/m2; common practice, no source."""
SHORT: Final = 20e6
"""Current density allowed for some seconds at full thrust, A/m2, for stranded wire with silicone
insulation in moving air; common practice, no source."""
RESISTIVITY: Final = 1 / 58e6
"""Annealed copper at 20 degC, ohm m (IEC 60028, from memory)."""
SMALLEST_POWER: Final = 22
"""AWG; thinner power leads break at their solder joints: common practice, no source."""
SIGNAL: Final = 26
"""AWG of signal leads, for strength in handling, not for current: common practice, no source."""
GAUGES: Final = tuple(range(SMALLEST_POWER, -1, -2))
"""Even gauges, as sold, thin to thick."""


@dataclass(frozen=True)
class Gauge:
    """One American wire gauge."""

    awg: int
    area: float  # m2

    @property
    def resistance(self) -> float:
        """ohm for each metre of one lead at 20 degC."""
        return RESISTIVITY / self.area


def gauge(awg: int) -> Gauge:
    """Area by the gauge's own definition, d = 0.127 mm x 92^((36 - n) / 39) (ASTM B258)."""
    diameter = 0.127e-3 * 92.0 ** ((36 - awg) / 39)
    return Gauge(awg, pi / 4 * diameter**2)


def gauge_for(lasting: float, short: float) -> Gauge:
    """The thinnest power gauge that carries ``lasting`` and, for some seconds, ``short``, A.

    Raises FlightError where no single wire is thick enough.
    """
    needed = max(lasting / LASTING, short / SHORT)
    for awg in GAUGES:
        found = gauge(awg)
        if found.area >= needed:
            return found
    raise FlightError(
        f"{short:.0f} A at full thrust needs {needed * 1e6:.0f} mm² of copper, more than AWG 0; "
        "next: more cells, so that less current gives the same power"
    )
