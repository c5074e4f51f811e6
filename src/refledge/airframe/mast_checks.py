"""Checks of the mast: its first mode, its strength."""

from math import hypot

from refledge.airframe.assessment import Assessment
from refledge.airframe.judge import judge
from refledge.airframe.mast import carried_by_mast, least_frequency, mast_frequency, mast_stress
from refledge.airframe.task import Task
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign


def mast_checks(task: Task, frame: FrameDesign, found: Assessment) -> tuple[Check, ...]:
    """First mode and strength of the mast; nothing without one."""
    mast = frame.mast
    if mast is None:
        return ()
    item, material = carried_by_mast(task.brief), task.materials[mast.material]
    hardest = max(found.results, key=lambda result: hypot(*result.felt))
    felt = hypot(*hardest.felt)
    frequency = mast_frequency(mast, item.mass, item.height, material.E, material.rho)
    strength = material.strength_xy / task.brief.limits.landing_factor
    return (
        judge(
            key="mast-mode", title="first mode of the mast with its item", group="shaking",
            part="mast", demand=frequency, capacity=least_frequency(task.brief), unit="Hz",
            shown="Hz", at_least=True, spread=material.stiffness_spread / 2,
            method="clamped beam with a mass at its tip (Rayleigh)",
            source="limit from the brief: control bandwidth; modulus from the material card",
        ),
        judge(
            key="mast-strength", title="bending of the mast at its flange", group="strength",
            part="mast", load_case=hardest.case.title,
            demand=mast_stress(mast, item.mass, item.height, felt), capacity=strength,
            unit="Pa", shown="MPa", spread=material.strength_spread,
            method="hardest acceleration of the body taken along the arm; factor of landing",
            source="strength from the material card",
        ),
    )  # fmt: skip
