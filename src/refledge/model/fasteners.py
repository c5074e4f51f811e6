"""Screws and heat-set inserts that joints are drawn and checked with. SI throughout."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, kw_only=True)
class Screw:
    """A metric cap screw with its lock nut and washer; lengths in m."""

    size: str
    """Such as ``M3``."""
    diameter: float
    pitch: float
    clearance_hole: float
    """Diameter of the medium clearance hole."""
    head_diameter: float
    head_height: float
    nut_width: float
    """Across the corners of the nut."""
    nut_height: float
    washer_diameter: float
    washer_thickness: float
    stress_area: float
    """m2."""
    proof_stress: float
    """Pa, property class 8.8."""
    source: str


@dataclass(frozen=True, kw_only=True)
class ShearBolt(Screw):
    """A plain polyamide screw with its nut and washer, there to fail in a crash."""

    tensile: float
    """Tensile strength, Pa, which is its proof stress too: it does not yield to speak of."""
    modulus: float
    """Pa."""
    density: float
    """kg/m3."""


@dataclass(frozen=True, kw_only=True)
class Insert:
    """A brass heat-set insert; lengths in m."""

    size: str
    """Thread, such as ``M3``."""
    hole_diameter: float
    """Of the printed pilot hole."""
    length: float
    outer_diameter: float
    """Over the knurl."""
    boss_diameter: float
    """Least outside diameter of the printed boss around it."""
    pull_out_note: str
    source: str


@dataclass(frozen=True, kw_only=True)
class Nut:
    """A plain hexagon nut; lengths in m."""

    size: str
    """Thread, such as ``M3``."""
    width: float
    """Across flats."""
    height: float
    source: str


@dataclass(frozen=True)
class Hardware:
    """The screws, inserts, plain nuts and shear bolts that may be used, by size."""

    screws: Mapping[str, Screw]
    inserts: Mapping[str, Insert]
    nuts: Mapping[str, Nut]
    shear_bolts: Mapping[str, ShearBolt] = field(default_factory=dict)
