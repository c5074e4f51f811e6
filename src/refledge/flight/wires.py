"""Which wire carries which current: gauges, their areas and what they lose."""

from dataclasses import dataclass
from math import pi, sqrt
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


LEADS: Final = 3
"""Of a brushless motor."""
BUNDLES: Final = (0.0, 1.0, 2.0, 1 + 2 / 3**0.5, 1 + 2**0.5, 2.7013, 3.0, 3.0)
"""Circle round n equal circles over their diameter, by n (Graham, Lubachevsky, Nurmela and
Ostergard, "Curved hexagonal packings of equal disks in a circle", 1998, from memory)."""
TIGHTEST: Final = 4.0
"""Least bend radius of stranded wire over its outside diameter: common practice, no source."""


@dataclass(frozen=True)
class Gauge:
    """One American wire gauge."""

    awg: int
    area: float  # m2

    @property
    def resistance(self) -> float:
        """ohm for each metre of one lead at 20 degC."""
        return RESISTIVITY / self.area

    @property
    def outside(self) -> float:
        """Diameter over silicone insulation, m: the straight line through 1.7 mm at AWG 22 and
        5.5 mm at AWG 10, typical from memory; makers differ by a tenth or two of a millimetre."""
        copper = sqrt(4 * self.area / pi)
        return 0.45e-3 + 1.95 * copper


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


def bundle(number: int, wire: Gauge) -> float:
    """Least round hole that ``number`` leads (7 at most) pass together, m."""
    return BUNDLES[number] * wire.outside
