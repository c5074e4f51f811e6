"""Material figures to design with: at the part's temperature, conditioned, as printed."""

from dataclasses import dataclass, replace

from refledge.model.brief import Brief
from refledge.model.materials import MaterialCard, PullOut

REFERENCE_TEMPERATURE = 296.15
"""K; makers' sheets state their figures at 23 degC (ISO 291)."""
MODULUS_LOSS_PER_KELVIN = 0.004
"""1/K; fall of stiffness and strength of glassy plastics below softening: from memory, typical."""
SUN_RISE = 25.0
"""K; dark part in full sun and little wind above the air: common practice, no source."""
SHADE_RISE = 3.0
"""K; from memory, typical."""
MOTOR_RISE = 15.0
"""K; motor mount above the other parts, by heat from the motor: common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Working:
    """One material at flight conditions, SI."""

    key: str
    kind: str
    E: float
    E_z: float
    G: float
    """In the plane of the layers."""
    G_xz: float
    nu: float
    rho: float
    strength_xy: float
    strength_z: float
    shear_z: float
    creep_factor: float
    damping: float
    """Fraction of critical damping in bending."""
    softening: float
    """Heat-deflection temperature at 0.45 MPa, K."""
    temperature: float
    """Of parts away from the motors, K."""
    stiffness_spread: float
    strength_spread: float
    interlayer_spread: float
    pull_outs: tuple[PullOut, ...] = ()
    """Measured on the bench, at the part's temperature and moisture, N."""


def part_temperature(brief: Brief) -> float:
    """Temperature of a part away from the motors, K."""
    rise = SUN_RISE if brief.mission.sunlight == "sun" else SHADE_RISE
    return brief.mission.air_temperature + rise


def working(card: MaterialCard, brief: Brief) -> Working:
    """``card`` at the brief's temperature, conditioned by moisture."""
    temperature = part_temperature(brief)
    warm = 1.0  # tubes: bought carbon and aluminium hardly change below 80 degC
    if card.kind != "tube":
        warm -= MODULUS_LOSS_PER_KELVIN * max(0.0, temperature - REFERENCE_TEMPERATURE)
    stiff = warm * card.wet_modulus.value
    strong = warm * card.wet_strength.value
    return Working(
        key=card.key,
        kind=card.kind,
        E=card.E_xy.value * stiff,
        E_z=card.E_z.value * stiff,
        G=in_plane_shear_modulus(card) * stiff,
        G_xz=card.G_xz.value * stiff,
        nu=card.nu.value,
        rho=card.rho.value,
        strength_xy=card.strength_xy.value * strong,
        strength_z=card.strength_z.value * strong,
        shear_z=card.shear_z.value * strong,
        creep_factor=card.creep_factor.value,
        damping=card.damping.value,
        softening=card.heat_deflection.value,
        temperature=temperature,
        stiffness_spread=card.E_xy.spread,
        strength_spread=card.strength_xy.spread,
        interlayer_spread=max(card.strength_z.spread, card.shear_z.spread),
        pull_outs=tuple(
            replace(each, load=replace(each.load, value=strong * each.load.value))
            for each in card.pull_outs
        ),
    )


def in_plane_shear_modulus(card: MaterialCard) -> float:
    """G = E / (2 (1 + nu)) in the isotropic plane of the layers; tubes keep their stated G, Pa."""
    if card.kind == "tube":
        return card.G_xz.value
    return card.E_xy.value / (2.0 * (1.0 + card.nu.value))


def arm_shear(material: Working) -> float:
    """Shear modulus of an arm, Pa: vertical shear and torsion cross its layers, printed flat."""
    return material.G_xz if material.kind == "printed" else material.G


def printable(card: MaterialCard, brief: Brief) -> str:
    """Why the brief's printer cannot print this material; "" where it can."""
    printer = brief.printer
    if card.kind != "printed":
        return "it is not printed"
    if card.nozzle_temperature > printer.nozzle_limit + 0.5:
        return "the nozzle does not get hot enough"
    if card.bed_temperature > printer.bed_limit + 0.5:
        return "the bed does not get hot enough"
    if card.needs_enclosure and not printer.enclosed:
        return "it needs a closed printer"
    if card.abrasive and not printer.hardened_nozzle:
        return "its fibres need a hardened nozzle"
    return ""
