"""The one grown arm that a brief names, as a pool of a single candidate.

Its own uses stand for themselves, by springs at the tip; whatever the whole airframe can answer
takes their place (``frame_uses``). Nothing of it is sized.
"""

from dataclasses import replace
from math import pi

import numpy as np

from refledge.airframe.arm_uses import ArmDemand, ArmUses, separation_uses
from refledge.airframe.body import Body
from refledge.airframe.candidates import Candidates
from refledge.airframe.grown_beams import TipGive
from refledge.airframe.grown_interface import met_by, refuse_misfit, softened
from refledge.airframe.grown_strength import bounds
from refledge.airframe.judge import reserve
from refledge.airframe.working import Working
from refledge.analysis.arm_model import ArmResults
from refledge.model.brief import Brief
from refledge.model.grown import LOADS, GrownArm
from refledge.printing.mass import printed_mass
from refledge.typed import Floats


def check_fits(brief: Brief, grown: GrownArm, body: Body, length: float) -> None:
    """Raise InputError where the arm does not fit. body, length (m): what its width fixes now."""
    now = replace(
        grown.interface,
        length=length,
        width=body.arm_width,
        root_length=body.root_length,
        tenon_length=body.mount.length,
        **met_by(body.clamp, body.mount, brief.frame.hole_allowance),
    )
    refuse_misfit(brief, grown, now)


def grown_candidate(brief: Brief, grown: GrownArm, body: Body, length: float) -> Candidates:
    """Raises InputError where the arm does not fit between what the brief asks for."""
    check_fits(brief, grown, body, length)
    one, none = np.ones(1), np.zeros(1)
    return Candidates(
        family="grown",
        body=body,
        length=grown.interface.length,
        depth_root=one * grown.interface.depth_root,
        depth_tip=one * grown.interface.depth_tip,
        side=none,
        top=none,
        bottom=none,
        pitch=none,
        web=none,
        bore=grown.interface.bore,
        width=grown.interface.width,
        grown=grown,
    )


def grown_uses(
    brief: Brief, arms: Candidates, grown: GrownArm, material: Working, demand: ArmDemand
) -> ArmUses:
    """Every check that the arm alone can answer, in the keys of drawn arms."""
    softer, weaker = softened(brief, grown, material)
    found = _results(softer * grown.give, grown, demand)
    limits, aim = brief.limits, 1.0 + reserve(material.stiffness_spread)
    creep = demand.hover_force / max(demand.full_force, 1e-9) / material.creep_factor
    axis = arms.length - arms.body.mount.length / 2
    half = 1.0 + reserve(material.stiffness_spread / 2)
    least = limits.control_bandwidth * limits.bandwidth_ratio * half
    lowest = np.minimum(found.frequency_vertical, found.frequency_lateral)
    uses = {
        "motor-tilt": aim * found.tilt / limits.motor_tilt,
        "hover-tilt": aim * creep * found.tilt / limits.motor_tilt,
        "tip-deflection": aim * found.deflection_z / axis / limits.tip_deflection,
        **_strength(brief, grown, material, (softer, weaker), demand),
        "first-mode": least / lowest,
        **separation_uses(brief, found, demand.excited, {}),
    }
    mass = printed_mass(grown.volume, grown.area, material.rho, brief.frame, brief.printer)
    return ArmUses(arms, np.array([mass]), uses, found)


def _strength(
    brief: Brief,
    grown: GrownArm,
    material: Working,
    now: tuple[float, float],
    demand: ArmDemand,
) -> dict[str, Floats]:
    """Bounds under the tip's forces."""
    limits, (softer, weaker) = brief.limits, now
    stiff = 1.0 + reserve(material.stiffness_spread)
    plane = 1.0 + reserve(material.strength_spread)
    layers = 1.0 + reserve(material.interlayer_spread)
    reach = max(grown.interface.length - grown.interface.tenon_length / 2, 1e-3)
    rough = max(demand.landing_force, demand.carry_moment / reach)
    uses: dict[str, Floats] = {}
    for name, force, torque, factor in (
        ("flight", demand.full_force, demand.full_torque, limits.flight_factor),
        ("rough", rough, 0.0, limits.landing_factor),
    ):
        load = np.zeros((1, len(LOADS)))
        load[0, 2], load[0, 5] = force, torque
        borne = bounds(grown, load)
        uses[f"strength-{name}"] = plane * factor * weaker * borne.plastic
        uses[f"layers-{name}"] = layers * factor * weaker * borne.layers
        uses[f"buckling-{name}"] = stiff * factor * softer * borne.buckling
    return uses


def _results(give: Floats, grown: GrownArm, demand: ArmDemand) -> ArmResults:
    """The arm as a spring at the tip under the mass there, its own third of no account."""
    inner = grown.interface
    axis = inner.length - inner.tenon_length / 2
    tip = TipGive(grown.at, give).about(np.array([axis, 0.0, 0.0]))
    load = np.array([0.0, 0.0, demand.full_force, 0.0, 0.0, demand.full_torque])
    moved, none = tip @ load, np.zeros(1)
    held = tip.copy()
    held[3, 3] += 1.0 / demand.clamp_x
    hertz = [
        1.0 / (2 * pi * np.sqrt(held[row, row] * load))
        for row, load in ((2, demand.tip_mass), (1, demand.tip_mass), (3, demand.tip_inertia[0]))
    ]
    each = [np.array([abs(float(value))]) for value in (*moved[[2, 4, 1, 5, 3]], *hertz)]
    mass = np.array([grown.volume])
    return ArmResults(mass, *each, *[none] * 8)
