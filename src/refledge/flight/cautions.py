"""What an operating point should make its owner careful about, in words."""

from refledge.errors import FlightError
from refledge.flight.air import speed_of_sound
from refledge.flight.care import motor_cooling, winding_temperature
from refledge.flight.rotor import RotorModel
from refledge.flight.throttle import MOST_TIP_MACH
from refledge.model.brief import Brief
from refledge.model.flight import OperatingPoint

HOT = 373.15  # K, windings: magnets and glue suffer beyond about 100 degC; from memory, typical
HIGH_THROTTLE = 0.7  # at hover: leaves little to steer with; common practice, no source
NEAR = 0.8  # of a rating: common practice, no source


def cautions(brief: Brief, rotor: RotorModel, point: OperatingPoint) -> tuple[str, ...]:
    """Cautions of ``point``; the windings' rise in temperature is known within a factor of 2."""
    current = max(state.current for state in point.rotors)
    throttle = max(state.throttle for state in point.rotors)
    found = [_winding(brief, point), _tip(brief, rotor, point)]
    if point.name == "hover" and throttle > HIGH_THROTTLE:
        found.append(f"hover takes {throttle:.0%} throttle; little is left to steer and climb with")
    for what, drawn, most in (
        ("each motor", current, brief.motor.max_current),
        ("each speed controller", current, brief.speed_controller.max_current),
        ("the battery", point.battery_current, brief.battery.max_current),
    ):
        if drawn > NEAR * most:
            found.append(f"{what} carries {drawn:.1f} A of the {most:.1f} A it may")
    return tuple(text for text in found if text)


def _winding(brief: Brief, point: OperatingPoint) -> str:
    hardest = max(point.rotors, key=lambda state: state.current)
    air = brief.mission.air_temperature
    try:
        at = winding_temperature(
            brief.motor, hardest.current, hardest.speed, air, motor_cooling(brief.motor)
        )
    except FlightError as error:
        return str(error)
    if at <= HOT:
        return ""
    settled = f"{at - 273.15:.0f} °C"
    return f"windings would settle near {settled} if {point.name} were held; keep it short"


def _tip(brief: Brief, rotor: RotorModel, point: OperatingPoint) -> str:
    fastest = max(state.speed for state in point.rotors) * rotor.diameter / 2
    mach = fastest / speed_of_sound(brief.mission.air_temperature)
    if mach <= NEAR * MOST_TIP_MACH:
        return ""
    return f"propeller tips reach Mach {mach:.2f}; check the propeller maker's greatest speed"
