"""Checks of heat: part temperature against softening."""

from collections.abc import Mapping

from refledge.airframe.judge import judge
from refledge.airframe.working import MOTOR_RISE, REFERENCE_TEMPERATURE, Working
from refledge.model.brief import Brief
from refledge.model.checks import Check


def heat_checks(brief: Brief, materials: Mapping[str, Working]) -> tuple[Check, ...]:
    """Temperature of the printed parts with the reserve asked; one check for parts that are alike.

    materials: part name to its material. Motor mounts are hotter by the motor.
    """
    alike: dict[tuple[str, bool], list[str]] = {}
    for part, material in materials.items():
        alike.setdefault((material.key, "mount" in part), []).append(part)
    return tuple(
        _one(brief, ", ".join(parts), materials[parts[0]], hot) for (_, hot), parts in alike.items()
    )


def _one(brief: Brief, parts: str, material: Working, hot: bool) -> Check:
    demand = material.temperature + (MOTOR_RISE if hot else 0.0) + brief.limits.heat_reserve
    room = material.softening - REFERENCE_TEMPERATURE
    return judge(
        key=f"heat-{material.key}{'-mount' if hot else ''}",
        title="part temperature below softening",
        group="heat",
        part=parts,
        demand=demand,
        capacity=material.softening,
        unit="K",
        shown="degC",
        margin=(material.softening - demand) / room,
        method=f"air, {brief.mission.sunlight}{' and motor heat' if hot else ''}, plus the reserve "
        f"of {brief.limits.heat_reserve:.0f} K, against heat deflection at 0.45 MPa",
        note="margin: over the way from 23 °C to softening",
        source="material card; rises are common practice, no source",
    )
