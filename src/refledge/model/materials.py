"""Material cards: one material as printed (or as bought), every figure with its source."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Property:
    """One figure of a material."""

    value: float
    """SI."""
    spread: float
    """Relative standard uncertainty between spools, printers and sources (1)."""
    source: str
    measured_here: bool = False


@dataclass(frozen=True)
class PullOut:
    """Load at which a heat-set insert came out of this plastic on the bench."""

    thread: str
    """Such as ``M3``."""
    load: Property  # N


@dataclass(frozen=True, kw_only=True)
class MaterialCard:
    """Properties of one material; printed ones are transversely isotropic about the layers' normal.

    ``E_xy``, ``strength_xy`` lie in the plane of the layers; ``E_z``, ``strength_z`` act across
    them. ``shear_z`` is the strength of a layer boundary in shear.
    """

    key: str
    name: str
    kind: str
    """printed, moulded, or tube"""
    E_xy: Property  # Pa
    E_z: Property  # Pa
    nu: Property
    G_xz: Property  # Pa, shear between layers
    rho: Property  # kg/m3
    strength_xy: Property  # Pa
    strength_z: Property  # Pa
    shear_z: Property  # Pa
    glass_transition: Property  # K
    heat_deflection: Property  # K, at 0.45 MPa
    creep_factor: Property
    """Modulus after ten minutes under load at 23 degC over the short-time modulus."""
    wet_modulus: Property
    """Modulus conditioned by moisture over dry."""
    wet_strength: Property
    price_low: Property  # currency per kg
    price_high: Property  # currency per kg
    damping: Property
    """Fraction of critical damping in bending."""
    nozzle_temperature: float  # K
    bed_temperature: float  # K
    needs_enclosure: bool
    abrasive: bool
    drying: str
    outer: float = 0.0  # m, tubes only
    bore: float = 0.0  # m, tubes only
    pull_outs: tuple[PullOut, ...] = ()
    """Measured ones only; tables know no insert's pull-out, but the plastic around it."""
