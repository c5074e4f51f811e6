"""Grow an arm: the stiffest for the mass of the present one, or the lightest within limits."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

import numpy as np

from refledge.errors import AnalysisError
from refledge.shaping.crisp import as_printed, made_crisp
from refledge.shaping.figures import Figures, Stand, figures_of, stand_of
from refledge.shaping.grown import Grown
from refledge.shaping.limits import Bounds, as_frequency, as_limits, bounds_of
from refledge.shaping.loads import KINDS
from refledge.shaping.space import Space, space_of
from refledge.shaping.voxelise import solid_shares
from refledge.shaping.work_key import work_key
from refledge.study import Study
from refledge.typed import Floats
from refledge.units import show
from refledge.voxels.fields import Ties
from refledge.voxels.history import Design, Progress
from refledge.voxels.optimise import optimise
from refledge.voxels.overhang import Overhang
from refledge.voxels.problem import Load, Problem, Recipe

Goal = Literal["stiffness", "mass"]
SHARPNESS = (1.0, 2.0, 4.0, 8.0, 16.0)
"""Of the projection, stage by stage."""
LEAST_RADIUS = 1.5
"""Voxels; a smaller filter lets single voxels alternate."""
LEAST_STIFFNESS = 1e-4
"""Of an empty voxel on the way: with less, pieces that hang by a thread take long to solve. Our
choice; the figures of the grown arm have none of it."""
TOLERANCE = 1e-4
"""Relative residual of a solve on the way: gradients to four digits steer as well as to five."""

ROBUST = 0.15
"""Half the gap between the thresholds of the thin and the thick arm where least mass is sought: the
limits are kept by the thin one, so that making it crisp breaks no member. Our choice."""
RESERVE = 0.97
"""Of each limit that the lightest arm is grown to, for what making it crisp takes: our choice; the
figures of the crisp arm are held against the whole limit."""
USE = 0.42
"""Greatest use of strength, in the middle of voxels, that arms are grown to. As printed it is more:
surfaces lie half a voxel further out, corners are sharper, infill carries less (measured, see
docs/shaping.md)."""
LIGHTEST_USE = 0.55
"""The same where least mass is sought: the limit is then kept by the arm printed thin, and the
crisp arm uses a tenth less (measured, the same)."""
MET = 1.002
"""Share of the use asked for up to which it counts as kept."""
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
    goal: Goal = "stiffness"
    """The stiffest of the present arm's mass, or the least mass that keeps the limits."""
    support_free: bool = False
    """Whether nothing may lean past 45 degrees from where the arm stands on the bed."""
    use: float | None = USE
    """Greatest use of strength of any voxel, the brief's factors in; None leaves strength off."""
    mass: float | None = None
    """kg, what it may weigh, solid throughout; as much as the present arm as printed where None."""
    printed: tuple[tuple[str, float], ...] = ()
    """By load: use of strength as printed over that of voxels, measured before; voxels' uses are
    taken times it, so that ``use`` is one as printed."""
    softer: tuple[tuple[str, float], ...] = ()
    """By load, and by ``limits.SWING``: motion of the seat as printed over that of voxels, measured
    before; limits of least mass are taken as much tighter."""


@dataclass(frozen=True, eq=False)
class Growing:
    """What a caller sees while the arm grows."""

    share: float
    """Of the work, 0 to 1."""
    iteration: int
    mass: float
    """Solid throughout, kg."""
    objective: float
    """Weighted compliance over the present arm's, whatever the goal."""
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
    """kg, what the grown arm may weigh, solid throughout: the present one as printed, or as
    wished."""
    present: Floats
    """(nx, ny, nz): the present arm's share of each voxel."""
    design: Design
    wish: Wish
    whole: float
    """kg, were the whole design space solid; steps of the design give masses as its share."""
    flight: str
    """The greatest load case of flight."""
    bounds: Bounds | None
    """What the lightest arm must keep; None where the stiffest was asked for."""
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
    stand = stand_of(study, space, wish.device, dict(wish.printed))
    present = solid_shares(study.solids["arm"], space.grid)
    before = figures_of(study, stand, present)
    budget = wish.mass or next(spec.mass for spec in study.parts if spec.key == "arm")
    _allowed(budget, space, stand)
    use = np.inf if wish.use is None else wish.use
    bounds = None
    if wish.goal == "mass":
        bounds = bounds_of(study, stand, before, use).tighter(dict(wish.softer))
    problem = _problem(study, space, stand, before, budget, bounds, wish.use)
    recipe = _recipe(study, space, wish)
    whole = float((~space.void).sum()) * space.grid.spacing**3 * stand.body.law.rho
    teller = _teller(told, whole, wish)
    file = keep / f"growing-{work_key(problem, recipe, stand)}.npz" if keep else None
    design = optimise(problem, recipe, teller, file)
    found, after = made_crisp(study, stand, design.density, space, recipe.overhang, bounds)
    return Shaped(
        grown=_grown(study, space, as_printed(design.density, space, found, recipe.overhang)),
        before=before,
        after=after,
        budget=budget,
        present=present,
        design=design,
        wish=wish,
        whole=whole,
        flight=next(load.name for load in stand.loads if load.kind == "flight"),
        bounds=bounds,
        notes=(*_notes(design, wish, kept=_keeps(bounds, after)), *_kept(bounds, after)),
    )


def bed_of(study: Study) -> Overhang:
    """Where the arm's printing starts: the end of its z axis that lies on the bed."""
    spec = next(each for each in study.parts if each.key == "arm")
    up = float(spec.print_rotation[2, 2])
    if abs(up) < _UPRIGHT:
        raise AnalysisError("an arm whose layers are not square to its z cannot be grown to stand")
    return Overhang(2, "low" if up > 0 else "high")


def _allowed(budget: float, space: Space, stand: Stand) -> None:
    """Refuse less mass (kg) than the plastic that is always there."""
    least = float(space.keep.sum()) * space.grid.spacing**3 * stand.body.law.rho
    if budget <= least:
        raise AnalysisError(
            f"an arm of {show(budget, 'kg', 'g')}: what is always solid of it, at its bolts and "
            f"under its motor, weighs {show(least, 'kg', 'g')} already; let it weigh more"
        )


def _problem(
    study: Study,
    space: Space,
    stand: Stand,
    before: Figures,
    budget: float,
    bounds: Bounds | None,
    use: float | None,
) -> Problem:
    """Each load weighs as its kind does, over what it does to the present arm."""
    total = sum(KINDS[load.kind] for load in stand.loads)
    loads = tuple(
        Load(
            load.name, field, KINDS[load.kind] / total / before.of(load.name).compliance, load.felt
        )
        for load, field in zip(stand.loads, stand.fields, strict=True)
    )
    plastic = budget / stand.body.law.rho / space.grid.spacing**3
    return Problem(
        stand.body,
        loads,
        "stiffness" if bounds is None else "mass",
        limits=() if bounds is None else as_limits(bounds, stand, RESERVE),
        frequency=None if bounds is None else as_frequency(study, bounds, stand, RESERVE),
        strength=None if use is None else replace(stand.strength, most=use),
        most_mass=min(1.0, plastic / float((~space.void).sum())),
        solid=space.keep,
        empty=space.void,
    )


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
        robust=ROBUST if wish.goal == "mass" else 0.0,
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


def _kept(bounds: Bounds | None, after: Figures) -> tuple[str, ...]:
    """Of the crisp arm, whatever the optimiser's figures were."""
    if bounds is None:
        return ()
    worst = bounds.worst(after)
    if not _keeps(bounds, after):
        return (f"the crisp arm passes a limit by {worst - 1:.0%}: take smaller voxels",)
    return (f"the lightest within its limits; the tightest is used to {worst:.0%}",)


def _keeps(bounds: Bounds | None, after: Figures) -> bool:
    return bounds is not None and bounds.worst(after) <= 1


def _notes(design: Design, wish: Wish, *, kept: bool = False) -> tuple[str, ...]:
    """kept: whether the crisp arm keeps what the last design of the growth may not have."""
    found = []
    strained = wish.use is not None and max(design.best.uses, default=0.0) > MET * wish.use
    if design.cancelled:
        found.append("stopped early: the best shape so far, not the end of the growth")
    if not design.best.feasible and not kept:
        what = "a limit is passed" if wish.goal == "mass" else "it weighs more than allowed"
        what = "more of its strength is used than asked for," if strained else what
        then = "let it grow for more steps" + (", or solve it as printed" if strained else "")
        found.append(f"{what} by {design.best.worst_limit:.1%}; {then}")
    return tuple(found)
