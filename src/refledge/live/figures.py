"""The figures that someone asks for first: where each comes from, how far it is known."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import isfinite

from refledge.model.checks import Check
from refledge.model.flight import OperatingPoint
from refledge.model.results import ModeSet
from refledge.study import Study

BEAM_MODES = "eigenvalues of the beam frame (docs/frame-model.md)"


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One headline figure, SI."""

    key: str
    label: str
    group: str
    """mass, flight, size, stiffness, shaking"""
    value: float
    unit: str
    shown: str
    method: str
    source: str
    spread: float | None = None
    """Relative standard uncertainty (1); None where nobody has stated one."""


def key_figures(study: Study) -> tuple[Figure, ...]:
    """In the order in which people ask."""
    return (*_masses(study), *_flight(study), *_size(study), *_stiffness(study), *_modes(study))


def _masses(study: Study) -> Iterator[Figure]:
    spread = _spread_of(study, "all-up-mass")
    yield Figure(
        key="all_up_mass", label="all-up mass", group="mass", value=study.all_up_mass, unit="kg",
        shown="kg", method="sum of the mass table", spread=spread,
        source="items weighed (the brief), parts computed with walls, skins and infill",
    )  # fmt: skip
    yield Figure(
        key="frame_mass", label="frame mass", group="mass", value=study.frame_mass, unit="kg",
        shown="g", method="printed parts, tubes and fasteners",
        source="computed from solids where they are drawn, else by formula; density from the card",
    )  # fmt: skip


def _flight(study: Study) -> Iterator[Figure]:
    spread = study.task.rotor.spread
    for key, label, point in (
        ("hover", "hover", study.hover), ("full", "full thrust", study.full)
    ):  # fmt: skip
        yield from _point(key, label, point, spread)
    yield Figure(
        key="hover_time", label="hover time", group="flight", value=study.hover.endurance, unit="s",
        shown="min", method="discharge at constant power with sag", spread=spread,
        source=f"rotor figures: {study.hover.method}; the pack as in the brief",
    )  # fmt: skip
    margin = next(each for each in study.checks if each.key == "thrust-margin")
    yield Figure(
        key="thrust_margin", label="full thrust over weight", group="flight", value=margin.demand,
        unit="1", shown="1", method=margin.method, source=margin.source, spread=margin.spread,
    )  # fmt: skip


def _point(key: str, label: str, point: OperatingPoint, spread: float) -> Iterator[Figure]:
    source = f"rotor figures: {point.method}"
    yield Figure(
        key=f"{key}_power", label=f"power, {label}", group="flight", value=point.power, unit="W",
        shown="W", method="rotor, motor, controller and pack in equilibrium", source=source,
        spread=spread,
    )  # fmt: skip
    yield Figure(
        key=f"{key}_throttle", label=f"throttle, {label}", group="flight",
        value=max(rotor.throttle for rotor in point.rotors), unit="1", shown="%",
        method="motor voltage over pack voltage under load, hardest-working rotor", source=source,
        spread=spread,
    )  # fmt: skip
    yield Figure(
        key=f"{key}_speed", label=f"rotor speed, {label}", group="flight",
        value=max(rotor.speed for rotor in point.rotors), unit="rad/s", shown="rpm",
        method="speed at which the rotor gives its thrust", source=source, spread=spread,
    )  # fmt: skip


def _size(study: Study) -> Iterator[Figure]:
    layout = study.layout
    for key, label, value in (
        ("motor_radius", "centre to motor", layout.motor_radius),
        ("footprint", "across the propellers", layout.footprint),
        ("tip_gap", "gap between propeller tips", layout.tip_gap),
    ):
        yield Figure(
            key=key, label=label, group="size", value=value, unit="m", shown="mm", spread=0.0,
            method="layout: the least that gaps and body allow", source="computed from the layout",
        )  # fmt: skip


def _stiffness(study: Study) -> Iterator[Figure]:
    for key, label in (
        ("motor-tilt", "motor tilt at full thrust"), ("tip-deflection", "arm tip deflection")
    ):  # fmt: skip
        found = [each for each in study.checks if each.key == key]
        for check in found[:1]:
            yield Figure(
                key=key.replace("-", "_"), label=label, group="stiffness", value=check.demand,
                unit=check.unit, shown=check.shown, method=check.method, source=check.source,
                spread=check.spread,
            )  # fmt: skip


def _modes(study: Study) -> Iterator[Figure]:
    spread = study.task.materials[study.frame.arm.material].stiffness_spread / 2
    sets: tuple[tuple[str, ModeSet], ...] = (
        ("arm", study.arm_modes), ("airframe", study.airframe_modes)
    )  # fmt: skip
    for name, modes in sets:
        if modes.frequencies.size:
            yield Figure(
                key=f"first_mode_{name}", label=f"first mode, {name}", group="shaking",
                value=float(modes.frequencies[0]), unit="Hz", shown="Hz", method=BEAM_MODES,
                source="modulus from the material card; half its spread, as f goes with its root",
                spread=spread,
            )  # fmt: skip


def _spread_of(study: Study, key: str) -> float | None:
    return next((each.spread for each in study.checks if each.key == key), None)


def use_of(check: Check) -> float | None:
    """Demand over capacity, upside down where more is better (1); None where it has no meaning.

    A temperature's share means nothing: there the margin tells.
    """
    if not isfinite(check.margin) or check.margin <= -1.0:
        return None
    return 1.0 / (1.0 + check.margin)
