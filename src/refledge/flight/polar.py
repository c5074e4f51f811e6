"""Lift and drag of a thin cambered blade section over every angle and low Reynolds numbers.

``LITERATURE`` is fitted to no propeller test; ``IDENTIFIED`` to one. Lift: thin-aerofoil
theory (Abbott and von Doenhoff, Theory of Wing Sections) less what the boundary layer takes, raised
by the Prandtl-Glauert rule, up to a stall. Beyond stall: a flat plate (Newtonian: cl = 2 sin^2 a
cos a, cd = 2 sin^2 a; the blend follows Beard and McLain, Small Unmanned Aircraft, lift with
stall). Drag: a parabola about the design lift whose least value falls with Reynolds number as
laminar friction does (Blasius: Re^-1/2).
"""

import math
from dataclasses import dataclass

import numpy as np

from refledge.typed import Floats

TURN = 2 * math.pi
AIR_VISCOSITY = 1.46e-5  # m2/s, kinematic, at 15 degC and sea level (ISO 2533)


@dataclass(frozen=True)
class Polar:
    """Parameters of the section polar; defaults are of a thin section with 5.3 % camber."""

    loss: float = 0.1
    """Share of the thin-aerofoil slope 2 pi that the boundary layer takes at Re 1e5, growing as
    Re^-1/2 like a laminar layer's displacement: from memory, typical; spread 0.05."""
    zero_lift: float = -2 * 0.053
    """rad; circular arc of 5.3 % camber, -2 f/c (thin-aerofoil theory). Camber: thin low-Reynolds
    sections used on slow-turning propellers, from memory; spread 1 degree, camber and measured
    blade angle together."""
    most_lift: float = 1.3
    """Lift coefficient at stall: from memory, cambered thin sections at Re 1e5; spread 0.15."""
    least_lift: float = -0.5
    """At negative stall: from memory, typical; spread 0.2."""
    design_lift: float = 4 * math.pi * 0.053
    """Lift coefficient of least drag: the same arc's ideal lift, 4 pi f/c."""
    least_drag: float = 0.020
    """At Re 1e5: from memory, typical of thin sections; spread 0.005."""
    drag_rise: float = 0.05
    """d cd / d (cl - design_lift)^2 below stall: from memory, typical; spread 0.02."""
    camber_power: float = 0.0
    """Zero-lift angle goes as (Re/1e5) to this power: 0 unless identified from a run."""
    blend: float = math.radians(2.0)
    """rad; angle over which attached and separated flow mix."""


LITERATURE = Polar()
"""Values from theory and memory, none fitted; but the camber was chosen after a polar of 4 % had
missed two measured propellers. docs/flight.md lists where this one misses them still."""

IDENTIFIED = Polar(
    loss=0.0104, zero_lift=-0.1258, most_lift=1.397, least_drag=0.02085, camber_power=0.384
)
"""By ``polar_fit.identify_polar`` from every third row of the UIUC Propeller Database's static
and axial runs of a 10x4.7 slow-fly propeller (Brandt, Deters, Ananda, Dantsker, Selig), and checked
on its sister, an 11x4.7, none of whose rows set a number here; that camber goes with Reynolds
number was decided having seen the trend of both. Chord and twist carry the measured shape; this
carries its section and the error of the measured blade angle."""

REFERENCE = 1e5  # Reynolds number of the parameters above


def section(
    polar: Polar, angle: Floats, Re: Floats, mach: Floats, chord_over_radius: Floats
) -> tuple[Floats, Floats]:
    """Lift and drag coefficients, each like ``angle`` (rad from the chord).

    ``chord_over_radius`` (1) gives the delay of stall by rotation near the hub: cl gains
    3 (c/r)^2 of what it lost to stall (Snel, Houwink and Bosschers, ECN-C-93-052, 1994).
    """
    thick = np.sqrt(REFERENCE / Re)
    slope = TURN * (1 - np.minimum(polar.loss * thick, 0.5))
    slope = slope / np.sqrt(1 - np.minimum(mach, 0.8) ** 2)
    zero = polar.zero_lift * (Re / REFERENCE) ** polar.camber_power
    potential = slope * np.sin(angle - zero) * np.cos(angle - zero)
    separated = _separated(polar, angle - zero, slope)
    plate = 2 * np.sign(angle) * np.sin(angle) ** 2 * np.cos(angle)
    lift = (1 - separated) * potential + separated * plate
    regained = np.minimum(3 * chord_over_radius**2, 1.0)
    lift = lift + regained * separated * (potential - lift) * np.cos(angle) ** 2
    off_design = np.clip(lift, polar.least_lift, polar.most_lift) - polar.design_lift
    attached = polar.least_drag * thick + polar.drag_rise * off_design**2
    return lift, attached + separated * 2 * np.sin(angle) ** 2


def _separated(polar: Polar, above_zero: Floats, slope: Floats) -> Floats:
    """Share of separated flow, 0..1, at angle ``above_zero`` lift, rad.

    The blend is shifted by half its width so that the greatest lift lies near ``most_lift``.
    """
    over = above_zero - polar.most_lift / slope
    under = polar.least_lift / slope - above_zero
    past = np.maximum(over, under) / polar.blend
    share: Floats = 1 / (1 + np.exp(np.clip(2 - 4 * past, -60, 60)))
    return share
