"""Uncertainty of a computed figure from its inputs: first order, and by Monte Carlo.

First order: u^2 = sum (df/dx u_x)^2 (GUM, JCGM 100:2008, law of propagation, inputs independent);
Monte Carlo: JCGM 101:2008, normal inputs.
"""

from collections.abc import Callable, Mapping
from dataclasses import replace

import numpy as np

from refledge.errors import FlightError
from refledge.flight.curve import Curve
from refledge.flight.motor_fit import known_spreads
from refledge.flight.operating import hover
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.model.rotors import Estimate
from refledge.typed import Floats

Inputs = Mapping[str, tuple[float, float]]
"""Name to value and standard uncertainty."""
Figure = Callable[[Mapping[str, float]], float]


def propagate(figure: Figure, inputs: Inputs) -> Estimate:
    """``figure`` at the inputs with its standard uncertainty, by central differences of one u."""
    middle = {name: value for name, (value, _) in inputs.items()}
    parts = {}
    for name, (value, u) in inputs.items():
        up = figure({**middle, name: value + u})
        down = figure({**middle, name: value - u})
        parts[name] = ((up - down) / 2) ** 2
    variance = sum(parts.values())
    ranked = sorted(parts.items(), key=lambda each: -each[1])
    shares = tuple((name, part / variance if variance else 0.0) for name, part in ranked)
    return Estimate(figure(middle), variance**0.5, shares)


def monte_carlo(figure: Figure, inputs: Inputs, draws: int, seed: int = 1) -> Floats:
    """(draws,): ``figure`` at inputs drawn at random."""
    random = np.random.default_rng(seed)
    names = list(inputs)
    values = np.array([inputs[name][0] for name in names])
    spreads = np.array([inputs[name][1] for name in names])
    drawn = values + spreads * random.standard_normal((draws, len(names)))
    return np.array([figure(dict(zip(names, row.tolist(), strict=True))) for row in drawn])


SPREADS = {  # relative standard uncertainty; from memory, typical, where nothing was measured
    "mass": 0.02,
    "capacity": 0.04,
    "pack resistance": 0.2,
    "motor resistance": 0.1,
    "no-load current": 0.2,
    "Kv": 0.03,
    "air density": 0.01,
}


def endurance_inputs(rotor: RotorModel, spreads: Mapping[str, float] | None = None) -> Inputs:
    """Factors on what hover endurance depends on: 1 each, with their spreads.

    Thrust and power coefficients take the rotor model's own spread.
    """
    known = {"thrust coefficient": rotor.spread, "power coefficient": rotor.spread}
    return {name: (1.0, u) for name, u in {**known, **SPREADS, **(spreads or {})}.items()}


def endurance_figure(brief: Brief, layout: Layout, rotor: RotorModel, mass: float) -> Figure:
    """Hover endurance, s, as a function of the factors of ``endurance_inputs``."""

    def seconds(factor: Mapping[str, float]) -> float:
        return hover(
            _changed(brief, factor),
            layout,
            scaled(rotor, factor["thrust coefficient"], factor["power coefficient"]),
            mass * factor["mass"],
        ).endurance

    return seconds


def endurance_band(brief: Brief, layout: Layout, rotor: RotorModel, mass: float) -> Estimate:
    """Hover endurance, s, with its standard uncertainty.

    Constants of a motor fitted to its run bring their own spreads. They count as independent; those
    of one run trade against one another, so that the band comes out rather too wide.
    """
    inputs = endurance_inputs(rotor, known_spreads(brief.motor))
    return propagate(endurance_figure(brief, layout, rotor, mass), inputs)


def scaled(rotor: RotorModel, thrust: float, power: float) -> RotorModel:
    """The rotor with CT and CP multiplied."""
    if not (thrust > 0 and power > 0):
        raise FlightError("a rotor's coefficients must stay positive; its spread is too wide")
    return replace(
        rotor, CT_curve=_times(rotor.CT_curve, thrust), CP_curve=_times(rotor.CP_curve, power)
    )


def _times(curve: Curve, by: float) -> Curve:
    cubics = tuple((a * by, b * by, c * by, d * by) for a, b, c, d in curve.cubics)
    return Curve(curve.knots, cubics, tuple(value * by for value in curve.values))


def _changed(brief: Brief, factor: Mapping[str, float]) -> Brief:
    motor, battery, mission = brief.motor, brief.battery, brief.mission
    return replace(
        brief,
        motor=replace(
            motor,
            resistance=motor.resistance * factor["motor resistance"],
            no_load_current=motor.no_load_current * factor["no-load current"],
            Kv=motor.Kv * factor["Kv"],
        ),
        battery=replace(
            battery,
            capacity=battery.capacity * factor["capacity"],
            resistance=battery.resistance * factor["pack resistance"],
        ),
        mission=replace(mission, air_temperature=mission.air_temperature / factor["air density"]),
    )
