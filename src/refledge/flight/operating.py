"""Operating points: hover with endurance, full thrust and what limits it, speed over throttle."""

import numpy as np

from refledge.errors import FlightError
from refledge.flight import power
from refledge.flight.air import GRAVITY, site_density, speed_of_sound
from refledge.flight.other_power import other_power
from refledge.flight.rotor import RotorModel
from refledge.flight.shafts import Shaft, level_thrust, shafts_for
from refledge.flight.throttle import MOST_TIP_MACH, Limits, most_throttle, shafts_at
from refledge.model.brief import Brief
from refledge.model.flight import OperatingPoint, RotorState, SpeedRange
from refledge.model.layout import Layout

IDLE_THROTTLE = 0.05  # common practice, no source
SPEED_POINTS = 24  # points of the throttle grid: smooth enough for a chart


def hover(
    brief: Brief,
    layout: Layout,
    rotor: RotorModel,
    all_up_mass: float,
    centre: tuple[float, float] = (0.0, 0.0),
) -> OperatingPoint:
    """Level hover at ``all_up_mass``, kg, with the centre of mass at ``centre`` (x, y), m.

    The pack also feeds what the brief states beside the motors (``other_power``).
    Voltage, current and throttle are those in the middle of the usable charge; the power does not
    depend on it. Endurance is at this power from full until the usable charge, or the voltage, is
    gone.
    """
    rho = site_density(brief.mission)
    thrust = level_thrust(layout, rotor, rho, all_up_mass * GRAVITY, centre)
    shafts = shafts_for(layout, rotor, rho, thrust)
    middle = 1 - brief.battery.usable / 2
    watts = _battery_power(brief, shafts) + other_power(brief)
    drawn = power.draw(brief.battery, watts, middle)
    states = _states(brief, shafts, drawn.voltage)
    _refuse_overload(brief, states, drawn)
    needed = max(state.throttle for state in states) * drawn.voltage
    seconds, low = power.endurance(brief.battery, watts, needed)
    limit = "voltage" if low else ""
    return _point("hover", layout, rotor, states, drawn, limit, seconds)


def full_thrust(brief: Brief, layout: Layout, rotor: RotorModel) -> OperatingPoint:
    """All motors at the most throttle that the full pack, every current and the tips allow."""
    limits = Limits(
        motor=brief.motor.max_current,
        controller=brief.speed_controller.max_current,
        battery=brief.battery.max_current,
        tip=MOST_TIP_MACH * speed_of_sound(brief.mission.air_temperature),
    )
    throttle, limited_by = most_throttle(brief, layout, rotor, site_density(brief.mission), limits)
    return _at_throttle(brief, layout, rotor, throttle, 1.0, "full thrust", limited_by)


def thrust_at_throttle(
    brief: Brief, layout: Layout, rotor: RotorModel, throttle: float, charge: float = 1.0
) -> OperatingPoint:
    """All motors at one ``throttle`` (0..1, duty of the controller) at state of ``charge``."""
    return _at_throttle(brief, layout, rotor, throttle, charge, f"throttle {throttle:.0%}", "")


def speed_range(
    brief: Brief,
    layout: Layout,
    rotor: RotorModel,
    hover: OperatingPoint,
    full: OperatingPoint,
) -> SpeedRange:
    """Rotor speed (upper rotor of pairs) from idle to full throttle, full pack; hover speeds."""
    most = min(1.0, max(state.throttle for state in full.rotors))  # rounding may pass 1
    throttle = np.linspace(IDLE_THROTTLE, most, SPEED_POINTS)
    rho = site_density(brief.mission)
    first = [shafts_at(brief, layout, rotor, rho, float(each), 1.0)[0][0] for each in throttle]
    speed = np.array([shaft.speed for shaft in first])
    if speed[0] <= 0:
        raise FlightError(f"the motors do not turn at idle, {IDLE_THROTTLE:.0%} throttle")
    at_hover = np.array([state.speed for state in hover.rotors])
    upper = np.array(layout.upper)
    groups = (upper, ~upper) if layout.paired else (upper,)
    return SpeedRange(
        throttle=throttle,
        speed=speed,
        hover_speeds=tuple(float(np.mean(at_hover[group])) for group in groups),
        full_speed=max(state.speed for state in full.rotors),
        idle_speed=float(speed[0]),
        blades=rotor.blades,
    )


def _at_throttle(
    brief: Brief,
    layout: Layout,
    rotor: RotorModel,
    throttle: float,
    charge: float,
    name: str,
    limited_by: str,
) -> OperatingPoint:
    rho = site_density(brief.mission)
    shafts, voltage = shafts_at(brief, layout, rotor, rho, throttle, charge)
    if min(shaft.thrust for shaft in shafts) <= 0:
        raise FlightError(f"at {throttle:.0%} throttle a rotor gives no thrust")
    states = _states(brief, shafts, voltage)
    watts = sum(state.electrical_power for state in states) + other_power(brief)
    drawn = power.Drawn(voltage, watts / voltage)
    return _point(name, layout, rotor, states, drawn, limited_by, 0.0)


def _battery_power(brief: Brief, shafts: tuple[Shaft, ...]) -> float:
    """W at the battery's plug for all shafts together, motors and controllers only."""
    return sum(state.electrical_power for state in _states(brief, shafts, 1.0))


def _states(brief: Brief, shafts: tuple[Shaft, ...], voltage: float) -> tuple[RotorState, ...]:
    """Motor and controller behind each shaft, with ``voltage``, V, at the battery's plug."""
    known = {shaft: _state(brief, shaft, voltage) for shaft in set(shafts)}
    return tuple(known[shaft] for shaft in shafts)


def _state(brief: Brief, shaft: Shaft, voltage: float) -> RotorState:
    motor, controller = brief.motor, brief.speed_controller
    current = power.motor_current(motor, shaft.torque)
    made = power.controller_voltage(motor, controller, current, shaft.speed)
    return RotorState(
        thrust=shaft.thrust,
        torque=shaft.torque,
        speed=shaft.speed,
        shaft_power=shaft.power,
        current=current,
        voltage=power.motor_voltage(motor, current, shaft.speed),
        throttle=made / voltage,
        electrical_power=made * current,
    )


def _refuse_overload(brief: Brief, states: tuple[RotorState, ...], drawn: power.Drawn) -> None:
    hardest = max(states, key=lambda state: state.throttle)
    current = max(state.current for state in states)
    if hardest.throttle > 1:
        raise FlightError(
            f"cannot hover: the motors need {hardest.throttle * drawn.voltage:.1f} V and the "
            f"battery holds {drawn.voltage:.1f} V half-way through the flight; lighten it, or take "
            "larger propellers, more cells or faster motors"
        )
    for what, found, most in (
        ("a motor", current, brief.motor.max_current),
        ("a speed controller", current, brief.speed_controller.max_current),
        ("the battery", drawn.current, brief.battery.max_current),
    ):
        if found > most:
            raise FlightError(
                f"cannot hover: {what} would carry {found:.1f} A and may {most:.1f} A"
            )


def _point(
    name: str,
    layout: Layout,
    rotor: RotorModel,
    states: tuple[RotorState, ...],
    drawn: power.Drawn,
    limited_by: str,
    seconds: float,
) -> OperatingPoint:
    wake = "; lower rotors by momentum theory in the upper's wake" if layout.paired else ""
    return OperatingPoint(
        name=name,
        total_thrust=sum(state.thrust for state in states),
        rotors=states,
        battery_voltage=drawn.voltage,
        battery_current=drawn.current,
        power=drawn.voltage * drawn.current,
        limited_by=limited_by,
        endurance=seconds,
        method=rotor.method + wake,
    )
