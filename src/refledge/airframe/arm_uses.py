"""How much of each limit every candidate arm uses, and what it weighs."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.arm_section import stiff_walls
from refledge.airframe.candidates import Candidates
from refledge.airframe.estimate import lap_volume
from refledge.airframe.fillness import fill_of
from refledge.airframe.judge import reserve
from refledge.airframe.working import Working, arm_shear
from refledge.analysis.arm_model import ArmClamp, ArmLoads, ArmMaterial, ArmResults
from refledge.analysis.arm_stress import Stresses
from refledge.analysis.arms import arm_mass, cut_arms, evaluate_cut, stress_cut
from refledge.analysis.fill import printed_volume
from refledge.model.brief import Brief
from refledge.printing.mass import skin_thickness
from refledge.typed import Floats

Uses = dict[str, Floats]
"""Check key to demand over capacity of N candidates, (N,)."""
Bands = Mapping[str, tuple[float, float]]
Excited = tuple[float, ...]


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
    elastic = ArmMaterial(
        E=material.E, G=arm_shear(material), rho=material.rho, nu=material.nu, E_z=material.E_z
    )
    clamp = ArmClamp(
        x=candidates.body.clamp.first + candidates.body.clamp.pitch_x,
        stiffness_y=demand.clamp_y,
        stiffness_z=demand.clamp_z,
        stiffness_x=demand.clamp_x,
    )
    whole = candidates.shape()
    shape = stiff_walls(candidates.family, whole, fill_of(brief))
    arms = cut_arms(candidates.family, shape, elastic, clamp)
    stiff = evaluate_cut(arms, _full(candidates, demand))
    harsh = stress_cut(arms, _rough(candidates, demand))
    uses = _stiffness_uses(brief, candidates, stiff, material, demand)
    uses |= _strength_uses(brief, stiff, harsh, material)
    uses |= _first_mode_use(brief, stiff, material)
    uses |= separation_uses(brief, stiff, demand.excited, {})
    plain = arm_mass(candidates.family, whole, elastic)
    mass = printed_arm_mass(brief, candidates, material, plain)
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


def _rough(candidates: Candidates, demand: ArmDemand) -> ArmLoads:
    """Landing and carrying as one tip force, the larger of the two at the clamp."""
    body = candidates.body
    reach = candidates.length - body.mount.length / 2 - body.clamp.first - body.clamp.pitch_x
    force = max(demand.landing_force, demand.carry_moment / max(reach, 1e-3))
    return ArmLoads(force_z=force, tip_mass=demand.tip_mass)


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


def _strength_uses(brief: Brief, stiff: ArmResults, harsh: Stresses, material: Working) -> Uses:
    limits = brief.limits
    cases: tuple[tuple[str, ArmResults | Stresses, float], ...] = (
        ("flight", stiff, limits.flight_factor),
        ("rough", harsh, limits.landing_factor),
    )
    plane = 1.0 + reserve(material.strength_spread)
    layers = 1.0 + reserve(material.interlayer_spread)
    uses = {}
    for name, result, factor in cases:
        normal = np.maximum(np.abs(result.stress_top), np.abs(result.stress_bottom))
        normal = np.maximum(normal, np.abs(result.diagonal_stress))
        across = np.abs(result.interlayer_shear) / material.shear_z
        pulled = np.maximum(result.interlayer_tension, 0.0) / material.strength_z
        buckling = np.maximum(result.wall_use, result.diagonal_use)
        uses[f"strength-{name}"] = plane * factor * normal / material.strength_xy
        uses[f"layers-{name}"] = layers * factor * np.maximum(across, pulled)
        uses[f"buckling-{name}"] = factor * buckling * (1.0 + reserve(material.stiffness_spread))
    return uses


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
