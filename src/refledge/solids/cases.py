"""What holds, loads and rides on a solid: supports, loads and masses at its named faces. SI."""

from dataclasses import dataclass, field

import numpy as np

from refledge.typed import Floats

_by = field  # SolidCase has a field of that name


@dataclass(frozen=True)
class Support:
    """Displacement held at zero in the ticked directions on named faces.

    With ``shared`` only the nodes that all ``faces`` have in common are held: an edge or a corner.
    """

    faces: tuple[str, ...]
    x: bool = True
    y: bool = True
    z: bool = True
    shared: bool = False


@dataclass(frozen=True)
class Bedding:
    """Springs spread over a face, to ground: stiffness across and along it, N/m3."""

    face: str
    normal: float
    tangential: float


@dataclass(frozen=True, eq=False)
class FaceSpring:
    """A spring from a face's mean motion to ground, such as a hinge or a bolted joint."""

    face: str
    stiffness: Floats
    """(6, 6), N/m and N m/rad, about the face's centroid."""


@dataclass(frozen=True, eq=False)
class PointMass:
    """A body bolted to a face: mass, kg, centre of mass (3,), m, and inertia about it (3, 3)."""

    face: str
    mass: float
    centre: Floats
    inertia: Floats = field(default_factory=lambda: np.zeros((3, 3)))
    rigid: bool = False
    """Whether the face moves with it as one rigid piece, or follows by the mean only."""


@dataclass(frozen=True, eq=False)
class FaceLoad:
    """Total force (3,), N, and moment (3,), N m, about ``point`` (3,), m, through a named face."""

    face: str
    force: Floats
    point: Floats
    moment: Floats = field(default_factory=lambda: np.zeros(3))


@dataclass(frozen=True)
class Pressure:
    """Pa, pressing into the face."""

    face: str
    value: float


@dataclass(frozen=True, eq=False)
class FaceStress:
    """The traction that a uniform stress (3, 3), Pa, has on the face."""

    face: str
    stress: Floats


@dataclass(frozen=True, eq=False)
class SolidCase:
    """One load case of a solid."""

    name: str
    loads: tuple[FaceLoad | Pressure | FaceStress, ...] = ()
    field: Floats = field(default_factory=lambda: np.zeros(3))
    """(3,), m/s2: gravity, or minus the acceleration, felt by plastic and point masses."""
    turn: Floats = _by(default_factory=lambda: np.zeros(3))
    """(3,), rad/s2: minus the angular acceleration; the field at x is ``field`` + turn x (x -
    ``about``)."""
    about: Floats = _by(default_factory=lambda: np.zeros(3))
    """(3,), m."""
    riders_feel: bool = True
    """False where the loads hold what point masses do already."""
    rise: Floats | None = None
    """(n_nodes,), K: temperature above that of the stress-free part; none by default."""

    def felt(self, points: Floats) -> Floats:
        """(..., 3), m/s2: the field at ``points`` (..., 3), m."""
        return np.asarray(self.field + np.cross(self.turn, points - self.about))
