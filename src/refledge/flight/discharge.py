"""A flight simulated from full to cut-off: charge, sag, cell temperature and every joule."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.integrate import solve_ivp

from refledge.errors import FlightError
from refledge.flight import power
from refledge.flight.care import worn_battery
from refledge.model.items import Battery
from refledge.model.rotors import Discharge
from refledge.typed import Floats

CELL_HEAT = 1000.0  # J/(kg K), heat capacity of pouch cells: from memory, typical; spread 15 %
PACK_COOLING = 15.0  # W/(m2 K), pack in moving air: from memory, typical; spread a factor of 2
LONGEST = 6 * 3600.0  # s


@dataclass(frozen=True)
class Demand:
    """Power wanted, split into where it ends."""

    electrical: float  # W at the plug
    shaft: float  # W on all shafts
    least_voltage: float = 0.0  # V that the motors need at the plug


def simulate(battery: Battery, demand: Demand, air: float = 298.15, age: float = 0.0) -> Discharge:
    """Flight at constant ``demand`` from full until usable charge, cell floor or voltage ends it.

    Cells start at the temperature of the ``air``, K, and warm by their own loss; ``age`` runs from
    0 (new) to 1 (end of life). State: charge, cell temperature, energy at the plug and heat in the
    pack, integrated together (explicit Runge-Kutta, Dormand and Prince).
    """
    if not demand.electrical >= demand.shaft > 0:
        raise FlightError("shaft power must be positive and no more than the electrical power")
    pack = _Pack(worn_battery(battery, air, age), demand, air)
    first = np.array([1.0, air, 0.0, 0.0])
    for name, slack in pack.slack(first).items():
        if slack <= 0:
            raise FlightError(f"a full pack cannot give {demand.electrical:.0f} W: {name}")
    solved = solve_ivp(
        lambda _, state: pack.rate(state),
        (0.0, LONGEST),
        first,
        events=[_ending(pack, name) for name in ENDS],
        rtol=1e-9,
        atol=1e-9,
        max_step=30.0,
    )
    if not solved.success or solved.status != 1:
        raise FlightError(f"the discharge has no end within {LONGEST / 3600:.0f} h")
    drawn = [pack.drawn(state) for state in np.asarray(solved.y).T]
    seconds = float(solved.t[-1])
    return Discharge(
        time=np.asarray(solved.t),
        charge=np.asarray(solved.y[0]),
        voltage=np.array([each.voltage for each in drawn]),
        current=np.array([each.current for each in drawn]),
        ended_by=next(n for n, at in zip(ENDS, solved.t_events or (), strict=True) if len(at)),
        delivered=float(solved.y[2][-1]),
        lost=float(solved.y[3][-1]),
        shaft=demand.shaft * seconds,
        other=(demand.electrical - demand.shaft) * seconds,
    )


ENDS = ("charge", "cell floor", "voltage")


@dataclass(frozen=True)
class _Pack:
    """The pack under load; ``battery`` as worn and at the air's temperature."""

    battery: Battery
    demand: Demand
    air: float

    def at(self, temperature: float) -> Battery:
        """The pack once its cells have warmed from the air's temperature to ``temperature``, K."""
        ratio = worn_battery(self.battery, temperature).resistance
        ratio /= worn_battery(self.battery, self.air).resistance
        return replace(self.battery, resistance=self.battery.resistance * ratio)

    def drawn(self, state: Floats) -> power.Drawn:
        """What the plug gives in ``state``: charge, K, J, J."""
        return power.draw(self.at(float(state[1])), self.demand.electrical, float(state[0]))

    def rate(self, state: Floats) -> Floats:
        """Change of the state each second."""
        drawn = self.drawn(state)
        heat = drawn.current**2 * self.at(float(state[1])).resistance
        box = self.battery
        surface = 2 * (box.length * (box.width + box.height) + box.width * box.height)
        warming = heat - PACK_COOLING * surface * (float(state[1]) - self.air)
        return np.array(
            [
                -drawn.current / self.battery.capacity,
                warming / (CELL_HEAT * self.battery.mass),
                drawn.voltage * drawn.current,
                heat,
            ]
        )

    def slack(self, state: Floats) -> dict[str, float]:
        """How far each end of the flight is away; at most 0 where it is reached."""
        volts = self.drawn(state).voltage
        return {
            "charge": float(state[0]) - (1 - self.battery.usable),
            "cell floor": volts / self.battery.cells - power.CELL_FLOOR[self.battery.chemistry],
            "voltage": volts - self.demand.least_voltage,
        }


def _ending(pack: _Pack, name: str) -> Callable[[float, Floats], float]:
    def slack(_: float, state: Floats) -> float:
        return pack.slack(state)[name]

    slack.terminal = True  # type: ignore[attr-defined]  # how SciPy asks for it
    return slack
