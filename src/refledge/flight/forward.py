"""Forward flight and climb: momentum theory with profile and parasite power.

Glauert's hypothesis for the induced velocity, T = 2 rho A v |U|, with U the resultant of flight
speed and v at the disc; profile power grows as 1 + 4.65 mu^2; thrust at a given blade angle grows
as 1 + 1.5 mu^2 and falls with inflow (Leishman, Principles of Helicopter Aerodynamics, chapters on
blade element theory and forward-flight performance). What the rotor took in hover beyond T v counts
as profile. docs/flight.md says what is left out.
"""

import math
from dataclasses import dataclass

from scipy.optimize import brentq

from refledge.errors import FlightError
from refledge.flight.blade_element import VORTEX_RING_ONSET
from refledge.flight.coaxial import induced_velocity
from refledge.flight.rotor import RotorModel
from refledge.typed import Floats

PROFILE_GROWTH = 4.65
"""Of profile power with mu^2, radial flow included (Bennett; quoted by Leishman): from memory."""
THRUST_GROWTH = 1.5
"""Of the blade-angle part of thrust with mu^2 (blade element theory)."""
MOST_ADVANCE = 0.35
"""Advance ratio V cos / (Omega R) beyond which reversed flow and stall spoil the model: from
memory, typical."""
EDGEWISE = 0.95
"""In-plane speed over hover's induced velocity that blows the vortex ring away: Johnson,
NASA/TP-2005-213477; from memory."""


@dataclass(frozen=True)
class Stream:
    """Air meeting one rotor's disc."""

    axial: float  # m/s, down through the disc: climb and forward tilt positive
    edgewise: float  # m/s, in the plane of the disc


@dataclass(frozen=True)
class Moving:
    """One rotor in moving air."""

    speed: float  # rad/s
    induced: float  # m/s
    power: float  # W, on the shaft
    advance: float  # edgewise speed over tip speed


def induced_in(thrust: float, area: float, rho: float, stream: Stream) -> float:
    """m/s of induced velocity: T = 2 rho A v sqrt(edgewise^2 + (axial + v)^2)."""
    hover = induced_velocity(thrust, area, rho)
    if hover == 0:
        return 0.0
    _refuse_vortex_ring(hover, stream)

    def excess(v: float) -> float:
        return v * math.hypot(stream.edgewise, stream.axial + v) - hover**2

    return float(brentq(excess, 0.0, 3 * hover + abs(stream.axial), xtol=1e-12))


def rotor_in(rotor: RotorModel, rho: float, thrust: float, stream: Stream) -> Moving:
    """Speed and power of one rotor at ``thrust``, N, in ``stream``."""
    induced = induced_in(thrust, rotor.area, rho, stream)
    speed = _speed(rotor, rho, thrust, stream, stream.axial + induced)
    advance = stream.edgewise / (speed * rotor.diameter / 2)
    power = thrust * (stream.axial + induced) + profile_power(rotor, rho, speed, advance)
    return Moving(speed, induced, power, advance)


def profile_power(rotor: RotorModel, rho: float, speed: float, advance: float) -> float:
    """W: all that hover takes at ``speed``, rad/s, beyond the ideal, grown by forward speed."""
    alone = rotor.thrust(speed, rho)
    rest = rotor.power(speed, rho) - alone * induced_velocity(alone, rotor.area, rho)
    return rest * (1 + PROFILE_GROWTH * advance**2)


def _speed(rotor: RotorModel, rho: float, thrust: float, stream: Stream, inflow: float) -> float:
    """rad/s: thrust as in hover, less what more inflow takes, more what edgewise flow gives.

    Blade element: CT = (CT_hover + a lambda_hover)(1 + 1.5 mu^2) - a lambda, ``a`` the slope.
    """

    def lacking(speed: float) -> float:
        alone = rotor.thrust(speed, rho)
        slope = rotor.thrust_per_inflow(speed, rho)
        own = slope * induced_velocity(alone, rotor.area, rho)
        advance = stream.edgewise / (speed * rotor.diameter / 2)
        given = (alone + own) * (1 + THRUST_GROWTH * advance**2) - slope * inflow
        return (given - thrust) / speed

    middle = rotor.speed_for(thrust, rho)
    least = stream.edgewise / (MOST_ADVANCE * rotor.diameter / 2)
    slow = max(0.02 * middle, least)
    if lacking(slow) > 0:
        raise _beyond(stream, slow, rotor)
    fast = max(middle, slow)
    while lacking(fast) < 0:
        fast *= 1.3
    return float(brentq(lacking, slow, fast, xtol=1e-10))


def _beyond(stream: Stream, speed: float, rotor: RotorModel) -> FlightError:
    if stream.edgewise == 0:
        return FlightError("no rotor speed gives this thrust here: the stream drives the rotor")
    advance = stream.edgewise / (speed * rotor.diameter / 2)
    return FlightError(
        f"at {stream.edgewise:.1f} m/s the advance ratio passes {advance:.2f}, where the "
        "forward-flight model ends: fly slower, or take propellers that turn faster"
    )


def drag_tilt(weight: float, speed: float, rho: float, plate: float) -> tuple[float, float]:
    """Thrust, N, and nose-down tilt, rad, in level flight at ``speed``, m/s.

    ``plate``, m2, is the flat-plate area: drag over dynamic pressure.
    """
    drag = rho / 2 * speed**2 * plate
    return math.hypot(weight, drag), math.atan2(drag, weight)


def stream_at(speed: float, climb: float, tilt: float) -> Stream:
    """The stream at a disc tilted by ``tilt``, rad, nose down."""
    return Stream(
        axial=speed * math.sin(tilt) + climb * math.cos(tilt),
        edgewise=abs(speed * math.cos(tilt) - climb * math.sin(tilt)),
    )


def wake_overlap(stream: Stream, induced: float) -> float:
    """Share of hover's wake interference of a coaxial pair left at this stream (1).

    Cosine of the wake's skew angle: an assumption; one in hover and climb, none in fast flight.
    """
    through = stream.axial + induced
    return through / math.hypot(through, stream.edgewise) if through > 0 else 0.0


def plate_area(outlines: Floats, arms: float, arm_depth: float) -> float:
    """m2 of flat-plate area: ``outlines`` (n, 2), m, width and height of what meets the air.

    ``arms`` is the length of all arms together across the stream, m. Drag coefficient 1.1 of blunt
    boxes and bars (Hoerner, Fluid-Dynamic Drag; from memory), shielding left out; spread 40 %.
    """
    return 1.1 * (float((outlines[:, 0] * outlines[:, 1]).sum()) + arms * arm_depth)


def _refuse_vortex_ring(hover: float, stream: Stream) -> None:
    if stream.axial < -VORTEX_RING_ONSET * hover and stream.edgewise < EDGEWISE * hover:
        raise FlightError(
            f"descending at {-stream.axial:.1f} m/s through its own wake (induced velocity "
            f"{hover:.1f} m/s): vortex-ring state; descend at under "
            f"{VORTEX_RING_ONSET * hover:.1f} m/s, or faster than {EDGEWISE * hover:.1f} m/s "
            "forward"
        )
