"""From a brief to a sizing task at one all-up mass."""

from collections.abc import Mapping
from pathlib import Path

from refledge.airframe.grown_interface import FIELD
from refledge.airframe.layout_choice import first_layout
from refledge.airframe.task import Task
from refledge.airframe.working import Working, printable, working
from refledge.errors import GeometryError, InputError, Problem
from refledge.flight.air import site_density
from refledge.flight.blade_element import blade_speeds, rotor_from_blade
from refledge.flight.operating import full_thrust, hover, speed_range
from refledge.flight.rotor import RotorModel
from refledge.flight.rotor_sources import (
    rotor_estimate,
    rotor_from_coefficients,
    rotor_from_thrust_table,
)
from refledge.inputs.blades import read_blade_geometry
from refledge.inputs.cards import material_cards
from refledge.inputs.fasteners import hardware, screw_lengths
from refledge.inputs.grown import read_grown_arm
from refledge.inputs.tables import read_coefficients, read_thrust_table
from refledge.model.brief import Brief
from refledge.model.grown import GrownArm
from refledge.model.materials import MaterialCard
from refledge.model.wishes import ARM_FAMILIES


def rotor_model(brief: Brief) -> RotorModel:
    """The best rotor data the brief names: thrust table, coefficients, blade, or an estimate."""
    propeller, folder = brief.propeller, Path(brief.folder)
    if propeller.thrust_table:
        run = read_thrust_table(folder / propeller.thrust_table)
        density = site_density(brief.mission)
        return rotor_from_thrust_table(propeller, run, brief.motor, brief.speed_controller, density)
    if propeller.coefficients:
        return rotor_from_coefficients(
            propeller, read_coefficients(folder / propeller.coefficients)
        )
    if propeller.blade_geometry:
        blade = read_blade_geometry(folder / propeller.blade_geometry, propeller)
        return rotor_from_blade(blade, blade_speeds(blade), site_density(brief.mission))
    return rotor_estimate(propeller)


def make_task(
    brief: Brief,
    kind: str,
    rotor: RotorModel,
    all_up_mass: float,
    ratios: Mapping[str, float],
    centre: tuple[float, float] = (0.0, 0.0),
    cards: Mapping[str, MaterialCard] | None = None,
) -> Task:
    """Operating points and materials at ``all_up_mass`` (kg); ``cards`` replace literature's."""
    tools = hardware()
    layout = first_layout(brief, kind, tools)
    level = hover(brief, layout, rotor, all_up_mass, centre)
    full = full_thrust(brief, layout, rotor)
    cards = cards or material_cards()
    return Task(
        brief=brief,
        kind=kind,
        angles=tuple(float(angle) for angle in layout.arm_angles),
        paired=layout.paired,
        cards=cards,
        materials=working_materials(cards, brief),
        hardware=tools,
        lengths=screw_lengths,
        rotor=rotor,
        hover=level,
        full=full,
        speeds=speed_range(brief, layout, rotor, level, full),
        all_up_mass=all_up_mass,
        ratios=ratios,
        grown=grown_arm(brief),
    )


def grown_arm(brief: Brief) -> GrownArm | None:
    """The kept arm that the brief names, read and checked; None where it names none."""
    if not brief.frame.grown_arm:
        return None
    return read_grown_arm(Path(brief.folder) / brief.frame.grown_arm)


def working_materials(cards: Mapping[str, MaterialCard], brief: Brief) -> dict[str, Working]:
    """Every card at the brief's conditions."""
    return {key: working(card, brief) for key, card in cards.items()}


def combinations(task: Task) -> tuple[list[tuple[str, str]], dict[str, str]]:
    """Arm family and printed material to size, and why materials were left out.

    Raises GeometryError where the printer can print nothing that is on the shelf.
    """
    wish = task.brief.frame
    if task.grown is not None:
        return _grown(task, task.grown)
    families = tuple(f for f in ARM_FAMILIES if f != "tube")
    if wish.arm_family != "choose":
        families = (wish.arm_family,)
    keys = task.brief.printer.filaments if wish.material == "choose" else (wish.material,)
    left_out = {}
    for key in keys:
        reason = printable(task.cards[key], task.brief) or too_soft(task, key)
        if reason:
            left_out[key] = reason
    printed = [key for key in keys if key not in left_out]
    if not printed:
        why = "; ".join(f"{key}: {reason}" for key, reason in left_out.items())
        raise GeometryError(
            f"no material can be used ({why}); next: name another under printer.filaments or "
            "frame.material"
        )
    return [(family, key) for key in printed for family in families], left_out


def _grown(task: Task, grown: GrownArm) -> tuple[list[tuple[str, str]], dict[str, str]]:
    """The kept arm's plastic, for the whole frame; raises InputError where it may not be used."""
    key, brief = grown.plastic.key, task.brief
    asked, shelf = brief.frame.material, brief.printer.filaments
    wanted = "" if asked in ("choose", key) else f"frame.material is {asked}"
    if key not in task.cards or (asked == "choose" and key not in shelf):
        wanted = f"{key} is not on the shelf (printer.filaments)"
    reason = wanted or printable(task.cards[key], brief) or too_soft(task, key)
    if reason:
        given = f"an arm grown for {key}: {reason}"
        step = "grow one for the plastic at hand, or strike this line out"
        raise InputError(
            Problem(brief.title or "brief", FIELD, given, "an arm of a plastic in use", step)
        )
    return [("grown", key)], {}


def too_soft(task: Task, key: str) -> str:
    """Why a material asked to be chosen freely would soften; "" where it would not."""
    material = task.materials[key]
    needed = material.temperature + task.brief.limits.heat_reserve
    if task.brief.frame.material == "choose" and needed > material.softening:
        return (
            f"it softens at {material.softening - 273.15:.0f} °C and parts reach "
            f"{material.temperature - 273.15:.0f} °C"
        )
    return ""
