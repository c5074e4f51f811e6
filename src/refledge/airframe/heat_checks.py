"""Checks of heat: part temperature against softening."""

from collections.abc import Mapping

from refledge.airframe.judge import judge
from refledge.airframe.working import MOTOR_RISE, REFERENCE_TEMPERATURE, Working
from refledge.model.brief import Brief
from refledge.model.checks import Check


def heat_checks(brief: Brief, materials: Mapping[str, Working]) -> tuple[Check, ...]:
    """Each printed part's temperature, motor mounts hotter by the motor, with the reserve asked.

    materials: part name to its material.
    """
    return tuple(_one(brief, part, material) for part, material in materials.items())


def _one(brief: Brief, part: str, material: Working) -> Check:
    rise = MOTOR_RISE if "mount" in part else 0.0
    demand = material.temperature + rise + brief.limits.heat_reserve
    room = material.softening - REFERENCE_TEMPERATURE
    return judge(
        key=f"heat-{part.replace(' ', '-')}", title="part temperature below softening",
        group="heat", part=part,
        demand=demand, capacity=material.softening, unit="K", shown="degC",
        margin=(material.softening - demand) / room,
        method=f"air, sun ({brief.mission.sunlight}) and motor heat, plus the reserve of "
        f"{brief.limits.heat_reserve:.0f} K, against heat deflection at 0.45 MPa",
        note="margin: over the way from 23 °C to softening",
        source="material card; rises are common practice, no source",
    )  # fmt: skip
