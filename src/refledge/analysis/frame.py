"""The beam frame as data: nodes, beams, point masses, springs. SI, global axes, no computation."""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from refledge.analysis.section_model import Section
from refledge.errors import AnalysisError
from refledge.typed import Floats, Ints


@dataclass(frozen=True, eq=False)
class PointMass:
    """A rigid body carried by a node."""

    node: int
    mass: float  # kg
    inertia: Floats = field(default_factory=lambda: np.zeros((3, 3)))
    """(3, 3), kg m2, about its own centre, global axes."""
    offset: Floats = field(default_factory=lambda: np.zeros(3))
    """(3,), m, from the node to its centre."""


@dataclass(frozen=True, eq=False)
class Spring:
    """A spring from ``node_a`` to ``node_b`` (-1: ground), acting at the place of ``node_b``.

    It works on the motion of node b less the motion that node a would give that place rigidly,
    so that moving all as one body costs nothing even where the nodes stand apart.
    """

    node_a: int
    node_b: int
    stiffness: Floats
    """(6, 6) or its diagonal (6,): N/m and N m/rad, along and about ``axes``."""
    axes: Floats = field(default_factory=lambda: np.eye(3))
    """(3, 3), rows are the spring's axes in global components."""


@dataclass(frozen=True, eq=False, kw_only=True)
class BeamFrame:
    """Straight beams between nodes; every array has one row for each node or each beam.

    Local axes of a beam: x from its first end to its second, z in the plane of x and ``z_axis``,
    y completing them. Iy bends in the local x-z plane.
    """

    nodes: Floats  # (n, 3), m
    elements: Ints  # (m, 2)
    E: Floats  # (m,), Pa
    G: Floats  # (m,), Pa
    A: Floats  # (m,), m2
    Iy: Floats  # (m,), m4
    Iz: Floats  # (m,), m4
    J: Floats  # (m,), m4
    Ay: Floats  # (m,), m2, inf for no shear deformation
    Az: Floats  # (m,), m2
    mass_per_length: Floats  # (m,), kg/m
    rotary_x: Floats  # (m,), kg m, polar mass moment per length about the beam's axis
    rotary_y: Floats  # (m,), kg m, mass moment per length about local y
    rotary_z: Floats  # (m,), kg m
    z_axis: Floats  # (m, 3)
    offsets: Floats  # (m, 2, 3), m, from node to beam end, rigid, global axes
    shear_centre: Floats = field(default_factory=lambda: np.zeros(()))
    """(m,) or one for all, m, along local z from the beam's line: where sideways force does not
    twist it, and about which it twists."""
    masses: tuple[PointMass, ...] = ()
    springs: tuple[Spring, ...] = ()

    def __post_init__(self) -> None:
        n, m = len(self.nodes), len(self.elements)
        shapes = {"nodes": (n, 3), "elements": (m, 2), "z_axis": (m, 3), "offsets": (m, 2, 3)}
        for name in _PER_BEAM:
            shapes[name] = (m,)
        if np.ndim(self.shear_centre):
            shapes["shear_centre"] = (m,)
        for name, shape in shapes.items():
            if np.shape(getattr(self, name)) != shape:
                given = np.shape(getattr(self, name))
                raise AnalysisError(f"beam frame: {name} has shape {given}, wanted {shape}")
        used = [*self.elements.ravel(), *(mass.node for mass in self.masses)]
        used += [node for s in self.springs for node in (s.node_a, s.node_b) if node != -1]
        if used and (min(used) < 0 or max(used) >= n):
            raise AnalysisError(f"beam frame: a node number is outside 0..{n - 1}")


_PER_BEAM = (
    "E", "G", "A", "Iy", "Iz", "J", "Ay", "Az",
    "mass_per_length", "rotary_x", "rotary_y", "rotary_z",
)  # fmt: skip


def frame_of(
    nodes: Floats,
    elements: Ints,
    section: Section,
    E: Floats | float,
    G: Floats | float,
    rho: Floats | float,
    z_axis: Floats | Sequence[float] = (0.0, 0.0, 1.0),
    offsets: Floats | None = None,
    masses: tuple[PointMass, ...] = (),
    springs: tuple[Spring, ...] = (),
    shear_centre: Floats | float = 0.0,
) -> BeamFrame:
    """Frame from sections (one, or arrays of one row a beam) and material, broadcast to all beams.

    The line of shear centres is the beams' own unless its height (m) says otherwise.
    Mass per length counts ribs and diagonals; rotary inertia takes the bending section with its
    mass scaled up alike.
    """
    m = len(elements)

    def row(values: Floats | float) -> Floats:
        return np.ascontiguousarray(np.broadcast_to(np.asarray(values, dtype=np.float64), (m,)))

    mass = row(rho) * row(section.volume_per_length)
    spread = mass / row(section.area)
    return BeamFrame(
        nodes=np.asarray(nodes, dtype=np.float64),
        elements=np.asarray(elements, dtype=np.int64),
        E=row(E),
        G=row(G),
        A=row(section.area),
        Iy=row(section.Iy),
        Iz=row(section.Iz),
        J=row(section.J),
        Ay=row(section.Ay),
        Az=row(section.Az),
        mass_per_length=mass,
        rotary_x=spread * (row(section.Iy) + row(section.Iz)),
        rotary_y=spread * row(section.Iy),
        rotary_z=spread * row(section.Iz),
        z_axis=np.ascontiguousarray(np.broadcast_to(np.asarray(z_axis, np.float64), (m, 3))),
        offsets=np.zeros((m, 2, 3)) if offsets is None else np.asarray(offsets, np.float64),
        shear_centre=row(shear_centre),
        masses=masses,
        springs=springs,
    )


def line_mesh(start: Sequence[float], end: Sequence[float], count: int) -> tuple[Floats, Ints]:
    """Nodes (count + 1, 3) and beams (count, 2) of a straight line in equal parts."""
    nodes = np.linspace(np.asarray(start, np.float64), np.asarray(end, np.float64), count + 1)
    return nodes, np.column_stack([np.arange(count), np.arange(1, count + 1)])


def all_dofs(*nodes: int) -> Ints:
    """Degrees of freedom of whole nodes: six to a node, ux uy uz rx ry rz."""
    return (np.asarray(nodes, dtype=np.int64)[:, None] * 6 + np.arange(6)).ravel()
