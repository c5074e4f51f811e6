"""What solid verification found, in the shape in which it is cached and shown."""

from dataclasses import dataclass

from refledge.model.checks import Check
from refledge.model.results import TriMesh
from refledge.typed import Floats


@dataclass(frozen=True)
class SolidFigure:
    """One headline figure of a part, with its mesh error and what the beams say, SI."""

    name: str
    unit: str
    finest: float
    error: float
    """Estimated discretisation error, same unit."""
    beam: float | None
    """The same by the beam frame; None where beams have no such figure."""

    @property
    def difference(self) -> float | None:
        """Beam over solid less one (1)."""
        if self.beam is None or self.finest == 0.0:
            return None
        return self.beam / self.finest - 1.0


@dataclass(frozen=True)
class HotSpot:
    """Greatest use of strength in one load case."""

    case: str
    kind: str
    plastic: float
    """By the rule (1), without factor."""
    plastic_error: float
    plastic_anywhere: float
    """Without the rule: at corners it grows with every finer mesh."""
    layers: float
    layers_error: float
    layers_anywhere: float
    place: tuple[float, float, float]
    """Of the plastic's worst point, m, part axes."""
    buckling: float | None = None
    """Load over the least that buckles the part (1), without factor; None where not looked for."""
    buckling_error: float | None = None


@dataclass(frozen=True, eq=False)
class BuckledShape:
    """How a part buckles in the load case that is nearest to it."""

    case: str
    moved: Floats
    """(n_vertices, 3), of the part's surface, the greatest 1."""
    why: str
    """Why nothing was found, "" where it was."""


@dataclass(frozen=True, eq=False)
class PartVerified:
    """One part solved as a solid on two meshes."""

    key: str
    figures: tuple[SolidFigure, ...]
    spots: tuple[HotSpot, ...]
    dofs: int
    sizes: tuple[float, ...]
    """Edge lengths of the meshes, m, coarse to fine."""
    surface: TriMesh
    """Of the finest mesh."""
    use: Floats
    """(n_vertices,), use of strength in the worst case for each vertex, with its factor."""
    worst_case: str
    fields: str
    """The finest mesh with displacements and uses, as VTU text."""
    buckled: BuckledShape | None = None
    """None where it is not looked for."""


@dataclass(frozen=True, eq=False)
class WholeVerified:
    """Modes of the bolted airframe and what unbalance does at the flight controller."""

    dofs: int
    """Unknowns of all copies of all parts before they were reduced, finer mesh."""
    frequencies: Floats
    """(k,), Hz, joints on the soft side, finer mesh."""
    errors: Floats
    """(k,), Hz: estimated mesh error of each, from the mode of the coarse mesh that is its like."""
    stiff: Floats
    """(k,), Hz: the like mode with joints on the stiff side, coarse mesh."""
    partner: tuple[int, ...]
    """For each solid mode, the beam mode that moves most like it."""
    assurance: Floats
    """(k,), modal assurance criterion with that beam mode (1)."""
    beam: Floats
    """(k,), Hz, frequency of that beam mode."""
    speed: Floats  # (s,), rad/s, rotor speed
    at_controller: Floats  # (s,), m/s2, all rotors, root of squares
    at_belly: Floats  # (s,), m/s2, battery and payload


@dataclass(frozen=True, eq=False)
class Verified:
    """All parts, and the checks that follow."""

    parts: tuple[PartVerified, ...]
    failed: tuple[tuple[str, str], ...]
    """Part key and why it could not be solved."""
    whole: WholeVerified | None
    """The bolted airframe; None where it was not asked for or could not be solved."""
    checks: tuple[Check, ...]
