"""A grown arm as it is kept: its surface, what it gives and bears, what it was grown for. SI.

Axes are those of an arm (``model.parts``). Twelve numbers load an arm in its own axes: force, N,
and moment, N m, on the motor axis at half the plates' gap; acceleration that its plastic feels in
the middle of the body, m/s2, and angular acceleration about there, rad/s2.
"""

from dataclasses import dataclass, field, fields
from hashlib import sha256
from typing import Any

from refledge.model.results import TriMesh
from refledge.typed import Floats

LOADS = ("Fx", "Fy", "Fz", "Mx", "My", "Mz", "ax", "ay", "az", "rx", "ry", "rz")
"""Names of the twelve numbers."""


@dataclass(frozen=True, kw_only=True)
class ArmInterface:
    """What an arm meets; lengths in m, as in ArmDesign, ClampDesign and MountDesign."""

    length: float
    width: float
    depth_root: float
    depth_tip: float
    root_length: float
    tenon_length: float
    bore: float
    root_radius: float
    clamp_screw: str
    clamp_first: float
    clamp_pitch_x: float
    clamp_pitch_y: float
    mount_screw: str
    mount_pitch_x: float
    mount_pitch_y: float
    mounts: int
    hole_allowance: float


@dataclass(frozen=True, kw_only=True)
class GrownPlastic:
    """The plastic at flight conditions that it was solved with, Pa."""

    key: str
    E: float
    E_z: float
    G_xz: float
    nu: float
    strength_xy: float
    strength_z: float
    shear_z: float


@dataclass(frozen=True, kw_only=True)
class PrintedAs:
    """Print settings that it was solved with."""

    line: float
    """Width of an extrusion, m."""
    layer: float
    walls: int
    skins: int
    infill: float


@dataclass(frozen=True, eq=False, kw_only=True)
class GrownCase:
    """One load case that it was solved under, and the uses of strength and of the buckling load
    found, without factor (1)."""

    title: str
    kind: str
    load: Floats
    """(12,)."""
    plastic: float
    plastic_error: float
    """Mesh error of it."""
    layers: float
    layers_error: float
    buckling: float
    """Load over the least that buckles the arm (1)."""
    buckling_error: float
    by_hand: bool
    """Whether the airframe hung on the arm, held at its tip, instead of the arm on the airframe."""


@dataclass(frozen=True, kw_only=True)
class GrownArm:
    """All that ``design`` needs of it. Two are the same where their keys are."""

    key: str
    """As ``content_key`` says."""
    title: str = field(compare=False)
    """Of the brief that it was grown for."""
    version: str = field(compare=False)
    how: str = field(compare=False)
    """Voxels, steps and goal, in words."""
    interface: ArmInterface = field(compare=False)
    plastic: GrownPlastic = field(compare=False)
    printed: PrintedAs = field(compare=False)
    mesh: TriMesh = field(compare=False)
    """Closed surface, arm axes, m."""
    volume: float = field(compare=False)  # m3
    area: float = field(compare=False)  # m2
    support: float = field(compare=False)
    """Of its underside on the bed, m2."""
    at: Floats = field(compare=False)
    """(3,), m: where ``give`` is told."""
    give: Floats = field(compare=False)
    """(6, 6): translation, m, and rotation, rad, for each unit of force and moment at the tip, the
    clamp's rings held."""
    give_error: float = field(compare=False)
    """Mesh error of deflection and tilt at full thrust, the greater share (1)."""
    modes: Floats = field(compare=False)
    """(k,), Hz, clamp held, with the motor that it was grown for."""
    cases: tuple[GrownCase, ...] = field(compare=False)
    unit_plastic: Floats = field(compare=False)
    """(12, 2): use of strength by each unit load alone, pulling along its axis and against it."""
    unit_layers: Floats = field(compare=False)
    """(12, 2): the same of layer boundaries."""
    unit_buckling: Floats = field(compare=False)
    """(12, 2): load over the least that buckles it, of each unit load alone."""
    unit_by_hand: Floats = field(compare=False)
    """(12, 2): the same of an arm that is held at its tip, the airframe on its clamp."""


def content_key(mesh: TriMesh, give: Floats, unit_plastic: Floats) -> str:
    """Of an arm's shape, how it gives and what it bears."""
    found = sha256()
    for each in (mesh.vertices, mesh.triangles, give, unit_plastic):
        found.update(each.tobytes())
    return found.hexdigest()[:16]


def differences(old: Any, new: Any, tolerance: float = 1e-5) -> list[tuple[str, Any, Any]]:
    """Fields of two of one kind that differ, numbers by more than ``tolerance`` (m): (name, old,
    new)."""
    found = []
    for each in fields(old):
        was, now = getattr(old, each.name), getattr(new, each.name)
        both = isinstance(was, float) and isinstance(now, float)
        if abs(was - now) > tolerance if both else was != now:
            found.append((each.name, was, now))
    return found
