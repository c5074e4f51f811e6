"""What an arm of voxels does under the study's loads, be it the present one or a grown one."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.shaping.loads import TipLoad, held, law, rider, seat, tip_loads
from refledge.shaping.space import Space
from refledge.shaping.strength import strength_limit
from refledge.study import Study
from refledge.typed import Floats
from refledge.voxels.backend import Array, backend
from refledge.voxels.elasticity import Body
from refledge.voxels.grips import Grip
from refledge.voxels.loads import Field
from refledge.voxels.modes import Mass, natural_modes, trial_motions
from refledge.voxels.own_forces import own_forces
from refledge.voxels.problem import StrengthLimit
from refledge.voxels.stressed import greatest_use, voxel_uses

MODES = 2


@dataclass(frozen=True, eq=False)
class Stand:
    """An arm held and loaded on the grid, whatever is in it."""

    body: Body
    grip: Grip
    loads: tuple[TipLoad, ...]
    fields: Floats
    """(cases, 3, nodes), N: nodal forces of each of ``loads`` on the tip."""
    strength: StrengthLimit
    """The whole of it, with the brief's factors."""

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(load.name for load in self.loads)

    def load(self, name: str) -> TipLoad:
        """By its name."""
        return self.loads[self.names.index(name)]

    def field(self, name: str) -> Floats:
        """(3, nodes), N: nodal forces of one load on the tip."""
        return np.asarray(self.fields[self.names.index(name)])

    def pulling(self, share: Array) -> Array:
        """(cases, 3, nodes), N: the same and those of the arm's own plastic, ``share`` (nx, ny, nz)
        of each voxel."""
        own = [own_forces(self.body, load.felt, share) for load in self.loads]
        return self.body.backend.put(self.fields, np.float64) + self.body.backend.xp.stack(own)

    def solve(self, share: Floats) -> tuple[Array, Array]:
        """(nx, ny, nz), the backend's ``share``, and (cases, 3, nodes), m, how it moves under the
        loads."""
        there = self.body.backend.put(share, np.float64)
        pulled = Field.of(self.body.backend, self.pulling(there), self.body.held)
        return there, self.body.at(share, len(self.loads)).solve(pulled).x


@dataclass(frozen=True)
class Moved:
    """The seat under one load."""

    case: str
    deflection: float  # m
    tilt: float  # rad
    compliance: float  # J
    motion: tuple[float, ...]
    """Along x, y, z, m, and about them, rad; arm axes."""
    use: float = 0.0
    """Greatest use of strength in the middle of any voxel, the brief's factor in (1); 0 where the
    load is not judged."""


@dataclass(frozen=True)
class Figures:
    """Figures of one arm of voxels."""

    mass: float
    """Of its plastic, solid throughout, kg."""
    moved: tuple[Moved, ...]
    frequencies: tuple[float, ...]
    """Hz, with what rides on the tip, clamped at the root; empty where that cannot be said."""

    @property
    def use(self) -> float:
        """Greatest use of strength under any load."""
        return max((each.use for each in self.moved), default=0.0)

    def of(self, case: str) -> Moved:
        """By the case's name."""
        return next(each for each in self.moved if each.case == case)


def stand_of(
    study: Study, space: Space, device: str = "cpu", printed: Mapping[str, float] | None = None
) -> Stand:
    """Supports, loads and the seat of the study's arm on the space's grid. printed: by load, use
    of strength as printed over that of voxels; 1 where nothing was measured."""
    loads = tip_loads(study)
    grip = seat(study, space)
    body = Body(space.grid, law(study), held(study, space), backend(device))
    fields = np.stack([grip.field(load.wrench) for load in loads])
    strength = strength_limit(study, space, body.held, loads, printed or {})
    return Stand(body, grip, loads, fields, strength)


def figures_of(study: Study, stand: Stand, share: Floats) -> Figures:
    """share: (nx, ny, nz), 0 to 1, solid plastic in each voxel."""
    there, x = stand.solve(share)
    u, pulled = map(stand.body.backend.get, (x, stand.pulling(there)))
    moved = []
    for row, (load, field, at) in enumerate(
        zip(stand.loads, pulled, stand.grip.motion(u), strict=True)
    ):
        size = float(np.linalg.norm(at[:3])), float(np.linalg.norm(at[3:]))
        six = tuple(map(float, at))
        use = greatest_use(stand.body, stand.strength, load.name, there, x[row])
        moved.append(Moved(load.name, *size, float(np.vdot(field, u[row])), six, use))
    grid, rho = stand.body.grid, stand.body.law.rho
    return Figures(
        mass=float(share.sum()) * grid.spacing**3 * rho,
        moved=tuple(moved),
        frequencies=_frequencies(study, stand, share),
    )


def strained(stand: Stand, share: Floats) -> Floats:
    """(nx, ny, nz): greatest use of strength of each voxel under any load that is judged."""
    there, x = stand.solve(share)
    each = [
        stand.body.backend.get(voxel_uses(stand.body, stand.strength, load.name, there, x[row]))
        for row, load in enumerate(stand.loads)
    ]
    return np.asarray(np.max(each, axis=0))


def _frequencies(study: Study, stand: Stand, share: Floats) -> tuple[float, ...]:
    """Hz; none where pieces that hang by a thread keep the solver from its answer."""
    stiffness = stand.body.at(share, trial_motions(MODES))
    mass = Mass(stiffness, stand.body.backend.put(share, np.float64), (rider(study, stand.grip),))
    try:
        modes = natural_modes(stiffness, mass, MODES)
    except AnalysisError:
        return ()
    return tuple(float(each) for each in modes.frequencies)
