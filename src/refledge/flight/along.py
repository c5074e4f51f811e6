"""Steady flight along a path: climb, cruise for range and for time, holding against wind."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import minimize_scalar

from refledge.errors import FlightError
from refledge.flight import coaxial, power
from refledge.flight.air import GRAVITY, site_density, speed_of_sound
from refledge.flight.forward import (
    Moving,
    drag_tilt,
    plate_area,
    rotor_in,
    stream_at,
    wake_overlap,
)
from refledge.flight.other_power import other_power
from refledge.flight.rotor import RotorModel
from refledge.flight.throttle import MOST_TIP_MACH
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.rotors import FlightPoint

ARM_DEPTH = 0.025  # m, what an arm shows the air before it is sized: from memory, typical
FASTEST = 60.0  # m/s, end of the search
_METHOD = "momentum theory in forward flight with profile and parasite power"


@dataclass(frozen=True, eq=False)
class Craft:
    """What steady flight is computed from."""

    brief: Brief
    layout: Layout
    rotor: RotorModel
    mass: float  # kg
    plate: float  # m2, flat-plate area

    @property
    def rho(self) -> float:
        """kg/m3."""
        return site_density(self.brief.mission)


def craft(
    brief: Brief, layout: Layout, rotor: RotorModel, mass: float, arm_depth: float = ARM_DEPTH
) -> Craft:
    """The aircraft, its flat-plate area from what it carries and arms ``arm_depth``, m, deep."""
    boxes = (brief.battery, brief.payload, brief.flight_controller, *brief.others)
    outlines = np.array([(box.width, box.height) for box in boxes])
    across = layout.motor_radius * float(np.sum(np.abs(np.sin(layout.arm_angles))))
    return Craft(brief, layout, rotor, mass, plate_area(outlines, across, arm_depth))


def flight_point(craft: Craft, speed: float, climb: float = 0.0, name: str = "") -> FlightPoint:
    """Steady flight at horizontal ``speed`` and ``climb``, m/s, all rotors sharing the thrust.

    Raises FlightError where a current, the voltage, the advance ratio or the vortex ring forbids.
    """
    point, _, problems = _try(craft, speed, climb, name)
    if problems:
        raise FlightError(f"{name or 'flight'} at {speed:.1f} m/s, climb {climb:+.1f}: {problems}")
    return point


def best_endurance(craft: Craft) -> FlightPoint:
    """Cruise at the speed of least power."""
    return _cruise(craft, "cruise for longest time", lambda point: point.power)


def best_range(craft: Craft) -> FlightPoint:
    """Cruise at the speed of least energy for each metre, in still air."""
    return _cruise(craft, "cruise for longest range", lambda point: point.power / point.speed)


def wind_hold(craft: Craft, wind: float) -> FlightPoint:
    """Hover over one spot in a steady ``wind``, m/s: forward flight through the air."""
    return flight_point(craft, wind, 0.0, f"holding in {wind:.0f} m/s of wind")


def strongest_wind(craft: Craft) -> tuple[float, str]:
    """The greatest steady wind that can be held, m/s, and what limits it."""
    return _greatest(lambda at: _allowed(craft, at, 0.0), FASTEST)


def fastest_climb(craft: Craft) -> tuple[float, str]:
    """The greatest steady vertical climb, m/s, and what limits it."""
    return _greatest(lambda at: _allowed(craft, 0.0, at), FASTEST)


def _cruise(craft: Craft, name: str, cost: Callable[[FlightPoint], float]) -> FlightPoint:
    most, _ = strongest_wind(craft)
    speeds = np.linspace(0.05 * most, most * (1 - 1e-6), 25)
    costs = [cost(_try(craft, float(at), 0.0, name)[0]) for at in speeds]
    best = int(np.argmin(costs))
    low, high = speeds[max(best - 1, 0)], speeds[min(best + 1, len(speeds) - 1)]
    found = minimize_scalar(
        lambda at: cost(_try(craft, float(at), 0.0, name)[0]),
        bounds=(float(low), float(high)),
        method="bounded",
        options={"xatol": 1e-4},
    )
    return flight_point(craft, float(found.x), 0.0, name)


def _greatest(problem: Callable[[float], str], end: float) -> tuple[float, str]:
    """The largest value without a problem, and the problem just beyond it."""
    if problem(0.0):
        raise FlightError(f"cannot even hover: {problem(0.0)}")
    step, low = 1.0, 0.0
    while low + step <= end and not problem(low + step):
        low += step
    if low + step > end:
        return low, "end of the search"
    high = low + step
    for _ in range(30):
        middle = (low + high) / 2
        low, high = (low, middle) if problem(middle) else (middle, high)
    return low, problem(high)


def _allowed(craft: Craft, speed: float, climb: float) -> str:
    try:
        return _try(craft, speed, climb, "")[2]
    except FlightError as error:
        return str(error)


def _try(craft: Craft, speed: float, climb: float, name: str) -> tuple[FlightPoint, float, str]:
    """The point, motor current, A, and in words what forbids it ("" where nothing does)."""
    brief, rho = craft.brief, craft.rho
    thrust, tilt = drag_tilt(craft.mass * GRAVITY, speed, rho, craft.plate)
    moving = _mean_rotor(craft, thrust / craft.layout.n_rotors, speed, climb, tilt)
    motor, controller = brief.motor, brief.speed_controller
    current = power.motor_current(motor, moving.power / moving.speed)
    made = power.controller_voltage(motor, controller, current, moving.speed)
    watts = made * current * craft.layout.n_rotors + other_power(brief)
    drawn = power.draw(brief.battery, watts, 1 - brief.battery.usable / 2)
    seconds, _ = power.endurance(brief.battery, watts, made)
    point = FlightPoint(
        name=name or "steady flight",
        speed=speed,
        climb=climb,
        tilt=tilt,
        thrust=thrust,
        shaft_power=moving.power * craft.layout.n_rotors,
        power=watts,
        rotor_speed=moving.speed,
        throttle=made / drawn.voltage,
        endurance=seconds,
        range=seconds * speed,
        method=f"{_METHOD}; {craft.rotor.method}",
    )
    return point, current, _problems(craft, point, current, drawn.current)


def _mean_rotor(craft: Craft, thrust: float, speed: float, climb: float, tilt: float) -> Moving:
    """The average rotor at ``thrust``, N.

    In a pair at equal torque and speed each rotor works as hard as an upper one, which carries
    2 / (1 + share) of the mean; that excess goes with the overlap of the wake.
    """
    stream = stream_at(speed, climb, tilt)
    moving = rotor_in(craft.rotor, craft.rho, thrust, stream)
    if not craft.layout.paired:
        return moving
    excess = 2 / (1 + coaxial.BALANCED_THRUST_SHARE) - 1
    worked = thrust * (1 + excess * wake_overlap(stream, moving.induced))
    return rotor_in(craft.rotor, craft.rho, worked, stream)


def _problems(craft: Craft, point: FlightPoint, current: float, pack: float) -> str:
    brief = craft.brief
    mach = point.rotor_speed * craft.rotor.diameter / 2
    mach /= speed_of_sound(brief.mission.air_temperature)
    found = (
        (point.throttle > 1, "battery voltage"),
        (current > brief.motor.max_current, "motor current"),
        (current > brief.speed_controller.max_current, "controller current"),
        (pack > brief.battery.max_current, "battery current"),
        (mach > MOST_TIP_MACH, "tip Mach number"),
    )
    return ", ".join(what for wrong, what in found if wrong)
