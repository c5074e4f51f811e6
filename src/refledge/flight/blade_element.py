"""Blade-element momentum theory of one rotor in axial flight: hover, climb, slow descent.

Glauert's annuli (Airplane Propellers, in Durand, Aerodynamic Theory IV, 1935): each ring of the
disc balances the force of the blade elements in it with the momentum of the air through it, axial
and swirl, both lessened by Prandtl's tip-loss factor. The one unknown of a ring is the inflow
angle phi; writing V and Omega r through the resultant W leaves (with s = B c / (2 pi r))

    (4 F sin^2 phi - s cn) Omega r = (4 F sin phi cos phi + s ct) V

which holds in hover (V = 0) too and is solved by bisection on every ring at once.
"""

import math

import numpy as np
from scipy.interpolate import PchipInterpolator

from refledge.errors import FlightError
from refledge.flight.curve import curve_through
from refledge.flight.polar import AIR_VISCOSITY, IDENTIFIED, Polar, section
from refledge.flight.rotor import TURN, RotorModel
from refledge.model.rotors import BladeGeometry, RotorLoad
from refledge.typed import Floats

RINGS = 40
"""Rings between root and tip; 80 change CT by 0.05 % (docs/flight.md)."""
SOUND = 340.3  # m/s, ISO 2533 at sea level; only for the Prandtl-Glauert factor
VORTEX_RING_ONSET = 0.45
"""Descent speed over hover's induced velocity beyond which the wake folds back into the disc:
Johnson, Model for vortex ring state influence on rotorcraft flight dynamics, NASA/TP-2005-213477;
from memory, spread 0.1."""
LEAST_TIP_SPEED, MOST_TIP_SPEED = 25.0, 200.0
"""m/s; idle to tip Mach 0.6. Outside, end values hold and the spread widens."""
THEORY_SPREAD = 0.08
"""Relative standard uncertainty of thrust from geometry: one degree of blade angle, which is what
measuring twist and guessing the section leave, moves thrust by 5 to 11 % (docs/flight.md)."""
_HALVINGS = 48
_FLAT = 1e-6  # rad, least inflow angle tried


def rotor_load(
    blade: BladeGeometry,
    speed: float,
    rho: float,
    axial: float = 0.0,
    polar: Polar = IDENTIFIED,
    rings: int = RINGS,
) -> RotorLoad:
    """Thrust and torque at ``speed``, rad/s, climbing at ``axial``, m/s (negative: descending).

    Raises FlightError where the descent reaches the vortex-ring state.
    """
    if not speed > 0:
        raise FlightError(f"a rotor at {speed:g} rad/s does not turn: blade elements need a speed")
    ring = _Rings(blade, rings)
    phi = _inflow_angle(ring, speed, axial, polar)
    thrust, torque = _integrate(ring, phi, speed, axial, rho, polar)
    area = math.pi * blade.diameter**2 / 4
    _refuse_vortex_ring(thrust, area, rho, axial)
    turns = speed / TURN
    return RotorLoad(
        thrust=thrust,
        torque=torque,
        speed=speed,
        axial=axial,
        CT=thrust / (rho * turns**2 * blade.diameter**4),
        CP=TURN * torque / (rho * turns**2 * blade.diameter**5),
    )


def rotor_from_blade(
    blade: BladeGeometry, speeds: Floats, rho: float, polar: Polar = IDENTIFIED
) -> RotorModel:
    """Static coefficients over ``speeds`` (n,), rad/s, from the blade's geometry."""
    loads = [rotor_load(blade, float(speed), rho, 0.0, polar) for speed in speeds]
    return RotorModel(
        diameter=blade.diameter,
        blades=blade.blades,
        CT_curve=curve_through(speeds, np.array([load.CT for load in loads])),
        CP_curve=curve_through(speeds, np.array([load.CP for load in loads])),
        method=f"blade-element momentum theory from chord and twist, {blade.source}",
        spread=THEORY_SPREAD,
    )


def blade_speeds(blade: BladeGeometry) -> Floats:
    """(12,), rad/s, over the tip speeds of hovering multirotors, evenly in the logarithm."""
    speeds: Floats = np.geomspace(LEAST_TIP_SPEED, MOST_TIP_SPEED, 12) / (blade.diameter / 2)
    return speeds


def efficiency_bound(CT: Floats, J: Floats) -> Floats:
    """Greatest efficiency T V / P at thrust coefficient ``CT`` and advance ratio ``J`` > 0.

    Froude's momentum theory in propeller coefficients: 2 / (1 + sqrt(1 + 8 CT / (pi J^2))).
    """
    bound: Floats = 2 / (1 + np.sqrt(1 + 8 * CT / (math.pi * J**2)))
    return bound


class _Rings:
    """Mid-radii of the rings and the blade there."""

    def __init__(self, blade: BladeGeometry, count: int) -> None:
        if len(blade.radius) < 2 or np.any(np.diff(blade.radius) <= 0):
            raise FlightError(f"{blade.source}: blade radii must rise from row to row")
        tip = blade.diameter / 2
        edges = np.linspace(blade.radius[0], blade.radius[-1], count + 1)
        middle = (edges[1:] + edges[:-1]) / 2
        self.blades = blade.blades
        self.r: Floats = middle * tip
        self.width: Floats = np.diff(edges) * tip
        self.chord: Floats = np.asarray(PchipInterpolator(blade.radius, blade.chord)(middle))
        self.twist: Floats = np.asarray(PchipInterpolator(blade.radius, blade.twist)(middle))
        self.solidity: Floats = self.blades * self.chord / (TURN * self.r)
        self.to_tip: Floats = self.blades / 2 * (tip - self.r) / self.r


def _forces(
    ring: _Rings, phi: Floats, speed: float, axial: float, polar: Polar
) -> tuple[Floats, Floats, Floats]:
    """Force coefficients along and across the axis, and the tip-loss factor, (n,) each.

    Reynolds and Mach number with Omega r and V, without the induced part: it changes them by
    about a per cent.
    """
    flow = np.hypot(speed * ring.r, axial)
    Re = flow * ring.chord / AIR_VISCOSITY
    lift, drag = section(polar, ring.twist - phi, Re, flow / SOUND, ring.chord / ring.r)
    sin, cos = np.sin(phi), np.cos(phi)
    loss = 2 / math.pi * np.arccos(np.exp(-ring.to_tip / sin))
    return lift * cos - drag * sin, lift * sin + drag * cos, np.maximum(loss, 1e-6)


def _inflow_angle(ring: _Rings, speed: float, axial: float, polar: Polar) -> Floats:
    """(n,), rad, that balances each ring."""

    def excess(phi: Floats) -> Floats:
        cn, ct, loss = _forces(ring, phi, speed, axial, polar)
        sin, cos = np.sin(phi), np.cos(phi)
        along = (4 * loss * sin**2 - ring.solidity * cn) * speed * ring.r
        found: Floats = along - (4 * loss * sin * cos + ring.solidity * ct) * axial
        return found

    low, high = np.full_like(ring.r, _FLAT), np.full_like(ring.r, math.pi / 2 - _FLAT)
    if np.any(excess(low) > 0) or np.any(excess(high) < 0):
        raise FlightError(
            f"no steady inflow at {speed:.0f} rad/s and {axial:+.1f} m/s along the axis: part of "
            "the disc works in its own wake or as a windmill"
        )
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        above = excess(middle) > 0
        low, high = np.where(above, low, middle), np.where(above, middle, high)
    found: Floats = (low + high) / 2
    return found


def _integrate(
    ring: _Rings, phi: Floats, speed: float, axial: float, rho: float, polar: Polar
) -> tuple[float, float]:
    """Thrust, N, and torque, N m."""
    cn, ct, loss = _forces(ring, phi, speed, axial, polar)
    swirl = ring.solidity * ct / (4 * loss * np.sin(phi))
    flow = speed * ring.r / (np.cos(phi) + swirl)
    pressure = ring.blades * rho / 2 * flow**2 * ring.chord * ring.width
    return float(np.sum(pressure * cn)), float(np.sum(pressure * ct * ring.r))


def _refuse_vortex_ring(thrust: float, area: float, rho: float, axial: float) -> None:
    if axial >= 0:
        return
    induced = math.sqrt(max(thrust, 0.0) / (2 * rho * area))
    if -axial > VORTEX_RING_ONSET * induced:
        raise FlightError(
            f"descending at {-axial:.1f} m/s is more than {VORTEX_RING_ONSET:g} of the induced "
            f"velocity, {induced:.1f} m/s: vortex-ring state, where momentum theory has no answer; "
            "come down more slowly or with forward speed"
        )
