"""Grow an arm: the stiffest for the mass of the present one."""

from collections.abc import Callable
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

import numpy as np
from scipy.ndimage import label

from refledge import __version__
from refledge.errors import AnalysisError
from refledge.shaping.figures import Figures, Stand, figures_of, stand_of
from refledge.shaping.grown import Grown
from refledge.shaping.loads import KINDS
from refledge.shaping.space import Space, space_of
from refledge.shaping.voxelise import solid_shares
from refledge.study import Study
from refledge.typed import Bools, Floats
from refledge.voxels.fields import Ties
from refledge.voxels.history import Design, Progress
from refledge.voxels.optimise import optimise
from refledge.voxels.overhang import Overhang
from refledge.voxels.problem import Load, Problem, Recipe

SHARPNESS = (1.0, 2.0, 4.0, 8.0, 16.0)
"""Of the projection, stage by stage."""
LEAST_RADIUS = 1.5
"""Voxels; a smaller filter lets single voxels alternate."""
LEAST_STIFFNESS = 1e-4
"""Of an empty voxel on the way: with less, pieces that hang by a thread take long to solve. Our
choice; the figures of the grown arm have none of it."""
TOLERANCE = 1e-4
"""Relative residual of a solve on the way: gradients to four digits steer as well as to five."""

_UPRIGHT = 0.999
"""Cosine between the arm's z and the bed's that counts as one."""


@dataclass(frozen=True, kw_only=True)
class Wish:
    """What is asked for."""

    voxel: float = 1e-3
    """m."""
    iterations: int = 30
    device: str = "cpu"
    """cpu, gpu or auto."""
    support_free: bool = False
    """Whether nothing may lean past 45 degrees from where the arm stands on the bed."""


@dataclass(frozen=True, eq=False)
class Growing:
    """What a caller sees while the arm grows."""

    share: float
    """Of the work, 0 to 1."""
    iteration: int
    mass: float
    """Solid throughout, kg."""
    objective: float
    """Weighted compliance over the present arm's."""
    picture: Callable[[], Floats]
    """(nx, nz), 0 to 1: the arm from its side, plastic through its width."""


Told = Callable[[Growing], bool | None]


@dataclass(frozen=True, eq=False)
class Shaped:
    """A grown arm, and the present one on the same grid under the same loads."""

    grown: Grown
    before: Figures
    after: Figures
    budget: float
    """kg, what the grown arm may weigh, solid throughout: the present one as printed."""
    present: Floats
    """(nx, ny, nz): the present arm's share of each voxel."""
    design: Design
    wish: Wish
    whole: float
    """kg, were the whole design space solid; steps of the design give masses as its share."""
    flight: str
    """The greatest load case of flight."""
    notes: tuple[str, ...] = field(default=())


def shape_arm(
    study: Study, wish: Wish | None = None, told: Told | None = None, keep: Path | None = None
) -> Shaped:
    """Grow the study's arm between the bolts, faces and loads that it has now.

    ``told`` may return False: the best so far is kept. In the folder ``keep`` the work is put down
    every ten iterations, by all that it depends on, and taken up from there. Raises InputError for
    arms that cannot be grown, AnalysisError where a solve does not converge.
    """
    wish = wish or Wish()
    space = space_of(study, wish.voxel)
    stand = stand_of(study, space, wish.device)
    present = solid_shares(study.solids["arm"], space.grid)
    before = figures_of(study, stand, present)
    budget = next(spec.mass for spec in study.parts if spec.key == "arm")
    problem = _problem(space, stand, before, budget)
    recipe = _recipe(study, space, wish)
    whole = float((~space.void).sum()) * space.grid.spacing**3 * stand.body.law.rho
    teller = _teller(told, whole, wish)
    file = keep / f"growing-{_key(problem, recipe, stand)}.npz" if keep else None
    design = optimise(problem, recipe, teller, file)
    found = crisp(design.density, space, recipe.overhang)
    return Shaped(
        grown=_grown(
            study, space, design.density * ~_dropped(design.density, space, found, recipe)
        ),
        before=before,
        after=figures_of(study, stand, found.astype(np.float64)),
        budget=budget,
        present=present,
        design=design,
        wish=wish,
        whole=whole,
        flight=next(load.name for load in stand.loads if load.kind == "flight"),
        notes=_notes(design),
    )


def crisp(density: Floats, space: Space, overhang: Overhang | None = None) -> Bools:
    """(nx, ny, nz): as many of the densest voxels as the densities add up to, less loose bits and,
    with ``overhang``, less what hangs.

    Raises AnalysisError where they do not join all that is to be kept.
    """
    found = _densest(density, space)
    if overhang is not None:
        found = overhang.standing(found, space.keep)
    parts, _ = label(found)
    kept = np.unique(parts[space.keep])
    if len(kept) > 1:
        raise AnalysisError(
            f"the grown arm falls into {len(kept)} pieces that each hold a seat: let it grow for "
            "more steps, or take smaller voxels"
        )
    return np.asarray(parts == kept[0])


def _densest(density: Floats, space: Space) -> Bools:
    count = round(float(density.sum(dtype=np.float64)))
    order = np.argsort(-density.ravel(), kind="stable")
    found = np.zeros(density.size, bool)
    found[order[:count]] = True
    return np.asarray((found.reshape(density.shape) | space.keep) & ~space.void)


def _dropped(density: Floats, space: Space, found: Bools, recipe: Recipe) -> Bools:
    """What hangs and so is not printed; nothing where support is allowed."""
    if recipe.overhang is None:
        return np.zeros(density.shape, bool)
    return np.asarray(_densest(density, space) & ~found)


def bed_of(study: Study) -> Overhang:
    """Where the arm's printing starts: the end of its z axis that lies on the bed."""
    spec = next(each for each in study.parts if each.key == "arm")
    up = float(spec.print_rotation[2, 2])
    if abs(up) < _UPRIGHT:
        raise AnalysisError("an arm whose layers are not square to its z cannot be grown to stand")
    return Overhang(2, "low" if up > 0 else "high")


def _problem(space: Space, stand: Stand, before: Figures, budget: float) -> Problem:
    """Each load weighs as its kind does, over what it does to the present arm."""
    total = sum(KINDS[load.kind] for load in stand.loads)
    loads = tuple(
        Load(load.name, field, KINDS[load.kind] / total / before.of(load.name).compliance)
        for load, field in zip(stand.loads, stand.fields, strict=True)
    )
    plastic = budget / stand.body.law.rho / space.grid.spacing**3
    return Problem(
        stand.body,
        loads,
        "stiffness",
        most_mass=min(1.0, plastic / float((~space.void).sum())),
        solid=space.keep,
        empty=space.void,
    )


def _key(problem: Problem, recipe: Recipe, stand: Stand) -> str:
    """Of all that steers the growth, rounded: another brief or wish never takes up this one's."""
    body = problem.body
    loads = [(each.name, (np.round(each.wrench, 3) + 0.0).tolist()) for each in stand.loads]
    said = f"{__version__}|{recipe}|{body.grid}|{body.law}|{problem.most_mass:.5f}|{loads}"
    found = sha256(said.encode())
    for mark in (problem.solid, problem.empty, body.held):
        found.update(np.packbits(np.asarray(mark)).tobytes())
    return found.hexdigest()[:12]


def _recipe(study: Study, space: Space, wish: Wish) -> Recipe:
    """Members of two extrusions at least; mirrored, since yaw pulls either way."""
    two = 2 * study.brief.printer.extrusion_width / space.grid.spacing
    each = max(1, round(wish.iterations / len(SHARPNESS)))
    return Recipe(
        filter_radius=max(LEAST_RADIUS, two),
        sharpness=SHARPNESS[: max(1, wish.iterations // each)],
        stage=each,
        tolerance=TOLERANCE,
        least_stiffness=LEAST_STIFFNESS,
        ties=Ties(("y",)),
        overhang=bed_of(study) if wish.support_free else None,
    )


def _teller(told: Told | None, whole: float, wish: Wish) -> Callable[[Progress], bool | None]:
    def tell(progress: Progress) -> bool | None:
        if told is None:
            return None
        step = progress.step
        mass = step.mass * whole
        share = min(1.0, (step.iteration + 1) / wish.iterations)
        return told(
            Growing(share, step.iteration + 1, mass, step.compliance, lambda: side(progress))
        )

    return tell


def side(progress: Progress) -> Floats:
    """(nx, nz): share of plastic through the width."""
    return np.asarray(progress.picture().mean(axis=1))


def _grown(study: Study, space: Space, density: Floats) -> Grown:
    spec = next(each for each in study.parts if each.key == "arm")
    return Grown(
        grid=space.grid,
        density=np.asarray(density, np.float64),
        keep=space.keep,
        void=space.void,
        seats=space.seats,
        bores=space.bores,
        print_rotation=spec.print_rotation,
    )


def _notes(design: Design) -> tuple[str, ...]:
    found = []
    if design.cancelled:
        found.append("stopped early: the best shape so far, not the end of the growth")
    if not design.best.feasible:
        over = design.best.worst_limit
        found.append(f"it weighs more than allowed by {over:.1%}; let it grow for more steps")
    return tuple(found)
