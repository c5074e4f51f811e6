"""What the arm evaluator takes and gives: N arms of one family as arrays."""

from dataclasses import dataclass
from typing import Any, NamedTuple, TypeAlias

import numpy as np

from refledge.analysis.section_model import Layered, Section
from refledge.typed import Floats

# (N,) floats, or one float for all N arms. The evaluator broadcasts them before use, which a type
# checker cannot see.
Numbers: TypeAlias = Any

FAMILIES = ("box", "channel", "truss", "tube")
SPAN_ELEMENTS = 8


@dataclass(frozen=True, eq=False, kw_only=True)
class ArmShape:
    """Dimensions of N arms of one family, each (N,) or one for all, m; as in docs/frame.md."""

    length: Numbers
    width: Numbers
    depth_root: Numbers
    depth_tip: Numbers
    root_length: Numbers
    tenon_length: Numbers
    side: Numbers = 0.0
    top: Numbers = 0.0
    bottom: Numbers = 0.0
    pitch: Numbers = 0.0
    web: Numbers = 0.0
    bore: Numbers = 0.0


@dataclass(frozen=True, eq=False, kw_only=True)
class ArmMaterial:
    """Elastic constants and density, each (N,) or one for all; E lies along the arm."""

    E: Numbers  # Pa
    G: Numbers  # Pa, between layers: vertical shear and torsion cross them
    rho: Numbers  # kg/m3
    nu: Numbers  # 1
    E_z: Numbers = 0.0  # Pa, across layers, felt by a truss's diagonals; 0: as along them

    def layered(self) -> Layered:
        """Ratios of the constants."""
        across = np.where(np.asarray(self.E_z) > 0, self.E_z, self.E)
        return Layered(np.asarray(self.E) / self.G, self.E / across, self.nu)


@dataclass(frozen=True, eq=False, kw_only=True)
class ArmLoads:
    """Loads and masses at the motor axis, each (N,) or one for all."""

    force_z: Numbers = 0.0  # N, up
    force_y: Numbers = 0.0  # N, at the height of the top face
    torque_z: Numbers = 0.0  # N m, rotor reaction about z
    moment_y: Numbers = 0.0  # N m, about -y: positive bends the tip up, as force_z does
    torque_x: Numbers = 0.0  # N m, about the arm
    tip_mass: Numbers = 0.0  # kg, motor, propeller and mount
    tip_offset: Numbers = 0.0  # m, its centre above the arm's top face
    tip_inertia_x: Numbers = 0.0  # kg m2, about its own centre
    tip_inertia_y: Numbers = 0.0
    tip_inertia_z: Numbers = 0.0


@dataclass(frozen=True, eq=False, kw_only=True)
class ArmClamp:
    """Where and how stiffly the root is held."""

    x: Numbers  # m, where the plates' grip takes hold, 0..root_length
    stiffness_y: Numbers = np.inf  # N m/rad, against vertical bending
    stiffness_z: Numbers = np.inf  # N m/rad, against lateral bending
    stiffness_x: Numbers = np.inf  # N m/rad, against twist


@dataclass(frozen=True, eq=False)
class ArmResults:
    """Everything about N arms, each (N,). Signs follow the loads."""

    mass: Floats  # kg, whole arm from its inner end to its outer end, solid plastic
    deflection_z: Floats  # m, at the motor axis
    tilt: Floats  # rad, of the motor axis in the vertical plane of the arm
    deflection_y: Floats  # m, of the top face
    yaw: Floats  # rad, about z
    twist: Floats  # rad, about the arm
    frequency_vertical: Floats  # Hz
    frequency_lateral: Floats  # Hz
    frequency_torsion: Floats  # Hz
    stress_top: Floats  # Pa, extreme along the arm, tension positive, lateral bending added
    stress_bottom: Floats  # Pa
    shear: Floats  # Pa, greatest anywhere: bending shear plus torsion
    interlayer_shear: Floats  # Pa, V Q / (I t) at the neutral axis plus torsion in the wall
    interlayer_tension: Floats  # Pa, across layers: truss diagonals; 0 in other families
    diagonal_stress: Floats  # Pa, truss; 0 in other families
    diagonal_use: Floats  # 1, compression in a diagonal over its Euler load; 0 in other families
    wall_use: Floats  # 1, compression over local buckling stress of the walls


class Mesh(NamedTuple):
    """The cut of the arms, (elements, N)."""

    length: Floats  # m, of each element
    arm: Floats  # m, from each element's middle to the motor axis
    section: Section
    stub: Floats  # (N,), m, tenon beyond the motor axis
    middle: Floats  # (N,), m, middle of the root block below the top face
