"""How much of each limit every candidate arm uses, and what it weighs."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.arm_section import elastic, stiff_walls
from refledge.airframe.candidates import Candidates
from refledge.airframe.estimate import lap_volume
from refledge.airframe.fillness import fill_of
from refledge.airframe.judge import reserve
from refledge.airframe.tipping import KEY, candidate_uses
from refledge.airframe.working import Working
from refledge.analysis.arm_model import ArmClamp, ArmLoads, ArmResults
from refledge.analysis.arm_stress import Stresses
from refledge.analysis.arms import arm_mass, cut_arms, evaluate_cut, stress_cut
from refledge.analysis.fill import printed_volume
from refledge.analysis.tipping import TippingLoad
from refledge.model.brief import Brief
from refledge.printing.mass import skin_thickness
from refledge.typed import Floats

Uses = dict[str, Floats]
"""Check key to demand over capacity of N candidates, (N,)."""
Bands = Mapping[str, tuple[float, float]]
Excited = tuple[float, ...]
NEAR = 2.0
"""Use beyond which a candidate is not looked at closer: it is turned down without."""


@dataclass(frozen=True, kw_only=True)
class ArmDemand:
    """What one arm must carry, from the operating points and load cases."""

    full_force: float  # N, upward at the tip at full thrust, less the tip's own inertia
    full_torque: float  # N m, about z
    landing_force: float  # N, downward at the tip in the hardest landing
    carry_moment: float  # N m at the clamp when held by this arm
    hover_force: float  # N
    tip_mass: float  # kg
    tip_offset: float  # m, centre of the tip's mass above the arm's top face; of pairs not used
    tip_inertia: tuple[float, float, float]  # kg m2 about x, y, z of the arm
    excited: Excited  # Hz, once-per-revolution and blade-pass at hover
    clamp_y: float  # N m/rad
    clamp_z: float
    clamp_x: float


@dataclass(frozen=True, eq=False)
class ArmUses:
    """Demand over capacity (with the reserve aimed at) for N candidates; at most 1 is wanted."""

    candidates: Candidates
    mass: Floats  # (N,), kg, one arm as printed
    uses: Uses
    results: ArmResults


def arm_uses(brief: Brief, candidates: Candidates, material: Working, demand: ArmDemand) -> ArmUses:
    """Every check that an arm alone can answer, for all candidates at once."""
    plastic = elastic(material)
    clamp = ArmClamp(
        x=candidates.body.clamp.first + candidates.body.clamp.pitch_x,
        stiffness_y=demand.clamp_y,
        stiffness_z=demand.clamp_z,
        stiffness_x=demand.clamp_x,
    )
    whole = candidates.shape()
    shape = stiff_walls(candidates.family, whole, fill_of(brief))
    arms = cut_arms(candidates.family, shape, plastic, clamp)
    stiff = evaluate_cut(arms, _full(candidates, demand))
    carried, landed = (stress_cut(arms, each) for each in _rough(candidates, demand))
    uses = _stiffness_uses(brief, candidates, stiff, material, demand)
    flight, rough = brief.limits.flight_factor, brief.limits.landing_factor
    for name, results, factor in (
        ("flight", (stiff,), flight),
        ("rough", (carried, landed), rough),
    ):
        uses |= _strength_uses(name, results, factor, material)
    uses |= _first_mode_use(brief, stiff, material)
    uses |= separation_uses(brief, stiff, demand.excited, {})
    plain = arm_mass(candidates.family, whole, plastic)
    mass = printed_arm_mass(brief, candidates, material, plain)
    uses[KEY] = _tipping(brief, candidates, material, clamp, (demand, mass), uses)
    return ArmUses(candidates, mass, uses, stiff)


def _full(candidates: Candidates, demand: ArmDemand) -> ArmLoads:
    """Full thrust and what rides on the tip; pairs lie evenly above and below the tenon."""
    ix, iy, iz = demand.tip_inertia
    paired = candidates.body.mount.per_arm == 2
    return ArmLoads(
        force_z=demand.full_force,
        torque_z=demand.full_torque,
        tip_mass=demand.tip_mass,
        tip_offset=-candidates.depth_tip / 2 if paired else demand.tip_offset,
        tip_inertia_x=ix,
        tip_inertia_y=iy,
        tip_inertia_z=iz,
    )


def _rough(candidates: Candidates, demand: ArmDemand) -> tuple[ArmLoads, ArmLoads]:
    """Carried by the tip, which pulls it up, and landing, which pushes it down, as tip forces."""
    body = candidates.body
    reach = candidates.length - body.mount.length / 2 - body.clamp.first - body.clamp.pitch_x
    up, down = demand.carry_moment / max(reach, 1e-3), -demand.landing_force
    return ArmLoads(force_z=up, tip_mass=demand.tip_mass), ArmLoads(
        force_z=down, tip_mass=demand.tip_mass
    )


def _tipping(
    brief: Brief,
    candidates: Candidates,
    material: Working,
    clamp: ArmClamp,
    landing: tuple[ArmDemand, Floats],
    others: Uses,
) -> Floats:
    """Of those that are ``NEAR`` to all other limits; 0 for the rest, which others turn down."""
    near = np.max(list(others.values()), axis=0) <= NEAR
    found = np.zeros(candidates.count)
    if near.any():
        demand, mass = landing
        some = candidates.only(near)
        load = _landed(some, demand, mass[near])
        found[near] = candidate_uses(brief, some, material, clamp, load)
    return found


def _landed(candidates: Candidates, demand: ArmDemand, mass: Floats) -> TippingLoad:
    """The hardest landing on all legs, the arms' own plastic in it."""
    felt = demand.landing_force / demand.tip_mass
    above = _full(candidates, demand).tip_offset
    return TippingLoad(force=demand.landing_force, above=above, own=felt * mass / candidates.length)


def _stiffness_uses(
    brief: Brief,
    candidates: Candidates,
    stiff: ArmResults,
    material: Working,
    demand: ArmDemand,
) -> Uses:
    limits, aim = brief.limits, 1.0 + reserve(material.stiffness_spread)
    axis = candidates.length - candidates.body.mount.length / 2
    creep = demand.hover_force / max(demand.full_force, 1e-9) / material.creep_factor
    return {
        "motor-tilt": aim * stiff.tilt / limits.motor_tilt,
        "hover-tilt": aim * creep * stiff.tilt / limits.motor_tilt,
        "tip-deflection": aim * stiff.deflection_z / axis / limits.tip_deflection,
    }


def _strength_uses(
    name: str, results: tuple[ArmResults | Stresses, ...], factor: float, material: Working
) -> Uses:
    """The hardest of several loads."""
    plane = 1.0 + reserve(material.strength_spread)
    layers = 1.0 + reserve(material.interlayer_spread)
    stiff = 1.0 + reserve(material.stiffness_spread)
    found = [
        {
            f"strength-{name}": plane * factor * _normal(each) / material.strength_xy,
            f"layers-{name}": layers * factor * _across(each, material),
            f"buckling-{name}": stiff * factor * np.maximum(each.wall_use, each.diagonal_use),
        }
        for each in results
    ]
    return {key: np.max([uses[key] for uses in found], axis=0) for key in found[0]}


def _normal(result: ArmResults | Stresses) -> Floats:
    normal = np.maximum(np.abs(result.stress_top), np.abs(result.stress_bottom))
    return np.maximum(normal, np.abs(result.diagonal_stress))


def _across(result: ArmResults | Stresses, material: Working) -> Floats:
    sheared = np.abs(result.interlayer_shear) / material.shear_z
    return np.maximum(sheared, np.maximum(result.interlayer_tension, 0.0) / material.strength_z)


def _first_mode_use(brief: Brief, stiff: ArmResults, material: Working) -> Uses:
    """First mode above the control bandwidth.

    Frequencies go with the square root of stiffness, so their uncertainty is half its spread.
    """
    limits = brief.limits
    half = 1.0 + reserve(material.stiffness_spread / 2)
    least = limits.control_bandwidth * limits.bandwidth_ratio * half
    return {"first-mode": least / np.minimum(stiff.frequency_vertical, stiff.frequency_lateral)}


def separation_uses(brief: Brief, stiff: ArmResults, excited: Excited, bands: Bands) -> Uses:
    """Modes kept away from what the rotors excite.

    bands: for each motion whose modes shake the flight controller, the airframe's lowest and
    highest such mode over the clamped arm's own; other motions are let be.
    """
    found = {
        "vertical": stiff.frequency_vertical,
        "lateral": stiff.frequency_lateral,
        "twist": stiff.frequency_torsion,
    }
    return {
        f"separation-{kind}": _nearness(brief, frequency, bands[kind], excited)
        if kind in bands
        else np.zeros_like(frequency)
        for kind, frequency in found.items()
    }


def _nearness(
    brief: Brief, frequency: Floats, band: tuple[float, float], excited: Excited
) -> Floats:
    """Asked separation over the one found, for modes between ``band`` times the arm's own (1)."""
    low, high = frequency * band[0], frequency * band[1]
    worst = np.zeros_like(frequency)
    for each in excited:
        away = np.maximum(np.maximum(low / each - 1.0, 1.0 - high / each), 0.0)
        worst = np.maximum(worst, brief.limits.separation / np.maximum(away, 0.02))
    return worst


def printed_arm_mass(
    brief: Brief, candidates: Candidates, material: Working, solid: Floats
) -> Floats:
    """One arm as printed, (N,), kg: thin walls are solid, root block and tenon have infill."""
    if candidates.family == "tube":
        return solid
    body, width = candidates.body, candidates.width
    skin = skin_thickness(brief.frame, brief.printer)
    saved = np.zeros(candidates.count)
    for length, depth in (
        (body.root_length, candidates.depth_root),
        (body.mount.length, candidates.depth_tip),
    ):
        volume = length * width * depth
        area = 2 * (length * width + length * depth + width * depth)
        saved += volume - printed_volume(volume, area, skin, brief.frame.infill)
    masses: Floats = solid - material.rho * saved + material.rho * _lap(candidates, solid)
    return masses


def _lap(candidates: Candidates, solid: Floats) -> Floats:
    """Volume that the lap adds, (N,), m3: taken of the middle candidate, they differ little."""
    if not candidates.split:
        return np.zeros_like(solid)
    middle = candidates.arm(candidates.count // 2, "")
    return np.full_like(solid, lap_volume(middle))
