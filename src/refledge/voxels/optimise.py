"""The optimiser's loop: draw, solve, step; stage by stage to a crisp design.

Deterministic: the same problem and recipe give the same design on the same backend.
"""

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np

from refledge.typed import Floats
from refledge.voxels.backend import Array
from refledge.voxels.blueprint import Blueprint, Designs
from refledge.voxels.checkpoint import read_checkpoint, write_checkpoint
from refledge.voxels.history import Best, Design, Progress, Standing, Step
from refledge.voxels.mma import DEAREST, MovingAsymptotes
from refledge.voxels.oc import oc_step
from refledge.voxels.problem import Problem, Recipe
from refledge.voxels.responses import Evaluated, Responses

_CHECKPOINT_EVERY = 10  # iterations
_BACK = 0.3
"""Logarithm of use over limit that one step is asked to come down by at most: our choice."""
_DEAREST_USE = 10.0
"""Price of strength where stiffness is sought, in compliances: a use that cannot be kept may cost
a tenth of the stiffness for each hundredth, but not all of it. Our choice."""
_STRONG_MOVE, _STRONG_SHARP_MOVE = 0.1, 0.5
"""Move limit where strength counts, and that times sharpness: a notch of one voxel is soon made
(by trial: with half as much again of the latter, uses doubled at each new sharpness)."""
_STANDING_SHARP_MOVE = 0.5
"""The same times where voxels hold up those above: one that goes takes them along (by trial on the
demo's arm, 3 mm, 20 steps: with three times as much its compliance came out a quarter more, and six
times as much on the way)."""
_SHARP_MOVE = 1.5  # move limit times sharpness: the linear model ends where the projection bends


def optimise(
    problem: Problem,
    recipe: Recipe,
    progress: Callable[[Progress], bool | None] | None = None,
    checkpoint: Path | None = None,
) -> Design:
    """Grow a design. ``progress`` may return False to stop and keep the best so far.

    With ``checkpoint`` the standing is kept in that file, and taken up from it where it exists.
    """
    return _Run(problem, recipe).go(progress or (lambda _: None), checkpoint)


@dataclass(frozen=True, eq=False)
class _Aim:
    """Objective and limits (at most 0) of one design with gradients to the free variables."""

    value: float
    slope: Array
    limits: Floats
    limit_slopes: Array
    dearest: Floats
    """Price of breaking each of ``limits`` by one, in objectives of this design."""
    worst: float
    """By how much the worst limit is passed; of uses of strength ``limits`` ask only a step."""


class _Run:
    def __init__(self, problem: Problem, recipe: Recipe) -> None:
        self.problem, self.recipe = problem, recipe
        self.backend = problem.body.backend
        self.xp = self.backend.xp
        self.blueprint = Blueprint(problem, recipe)
        self.responses = Responses(problem, recipe)
        free = self.blueprint.free
        self._places = slice(None) if free is None else self.xp.flatnonzero(free)
        self._plain = (
            problem.goal == "stiffness" and not problem.limits and problem.frequency is None
            and recipe.overhang is None
        )  # fmt: skip
        """Whether optimality criteria do, strength aside. Not where voxels hold others up:
        criteria know no gain from what is itself no use, and left a tenth of the mass unused."""
        self._kept = np.float32 if self._plain and problem.strength is None else np.float64
        """What gradients are kept in: moving asymptotes are curves of many terms."""

    def go(self, progress: Callable[[Progress], bool | None], path: Path | None) -> Design:
        standing = self._begin(path)
        cancelled = False
        while standing.stage < len(self.recipe.sharpness) and not cancelled:
            began = time.perf_counter()
            standing, step, designs = self._iterate(standing, began)
            picture = partial(self.backend.get, designs.nominal.density)
            cancelled = progress(Progress(step, picture)) is False
            del designs, picture  # the next solve needs the room
            over = standing.stage >= len(self.recipe.sharpness)
            if path is not None and (cancelled or over or step.iteration % _CHECKPOINT_EVERY == 0):
                write_checkpoint(path, self._signature(), standing, self.backend)
        return self._finish(standing, cancelled)

    def _begin(self, path: Path | None) -> Standing:
        if path is not None and path.exists():
            return read_checkpoint(path, self._signature(), self.backend)
        given = self.recipe.start
        start = given if given is not None else self._default_start()
        count = int(self.problem.free.sum())
        return Standing(MovingAsymptotes(self.xp.full(count, start, np.float32)))

    def _default_start(self) -> float:
        """The free voxels' share of the mass asked for, marked solids taken off it."""
        if self.problem.goal == "mass":
            return 0.5
        whole, free = self.blueprint.voxels, float(self.problem.free.sum())
        solid = whole - free
        return float(np.clip((self.problem.most_mass * whole - solid) / max(free, 1), 0.05, 0.95))

    def _signature(self) -> str:
        return f"{self.problem.body.grid}|{self.problem.goal}|{self.recipe}"

    def _iterate(self, standing: Standing, began: float) -> tuple[Standing, Step, Designs]:
        sharpness = self.recipe.sharpness[standing.stage]
        solved = self.responses.solve(
            self._draw(standing.mma.x, sharpness).eroded.density, judged=self._judged(sharpness)
        )
        designs = self._draw(standing.mma.x, sharpness)  # again: they were in the solve's way
        found = self.responses.follow(designs.eroded.density, solved)
        aim = self._aim(designs, found)
        scale = standing.scale or max(abs(aim.value), 1e-30)
        mma = self._step(standing.mma, aim, scale, sharpness)
        change = float(abs(mma.x - standing.mma.x).max())
        step = Step(
            iteration=standing.iteration, sharpness=sharpness, objective=aim.value,
            mass=self.blueprint.mass(designs.nominal), compliance=found.compliance,
            motions=tuple(map(float, found.motions)),
            frequencies=tuple(map(float, found.frequencies)),
            worst_limit=float(aim.worst), change=change,
            uses=() if found.stressed is None else tuple(map(float, found.stressed.uses)),
            solves=tuple(map(int, found.iterations)), seconds=time.perf_counter() - began,
        )  # fmt: skip
        best = self._better(Best(standing.mma.x, step), standing.best)
        settled = standing.in_stage + 1 >= self.recipe.stage or change < self.recipe.settled
        following = replace(
            standing, mma=mma, iteration=standing.iteration + 1, scale=scale, best=best,
            history=(*standing.history, step), in_stage=standing.in_stage + 1,
        )  # fmt: skip
        if settled:  # asymptotes of the smoother design mean little for the sharper one
            following = replace(
                following, stage=standing.stage + 1, in_stage=0, mma=MovingAsymptotes(mma.x)
            )
        return following, step, designs

    def _judged(self, sharpness: float) -> bool:
        limit = self.problem.strength
        return limit is not None and sharpness >= limit.since

    def _draw(self, x: Array, sharpness: float) -> Designs:
        return self.blueprint.draw(self._whole(x), sharpness)

    def _better(self, fresh: Best, known: Best | None) -> Best:
        """The better of two; its variables are kept on the host, as they are rarely needed."""
        best = fresh.better(known)
        return replace(best, x=self.backend.get(best.x)) if best is fresh else best

    def _aim(self, designs: Designs, found: Evaluated) -> _Aim:
        blueprint, problem = self.blueprint, self.problem
        mass = blueprint.mass(designs.dilated)
        mass_slope = self._part(blueprint.mass_slope(designs, designs.dilated))
        limits, slopes = self._limits(designs, found)
        value, slope = mass, mass_slope
        if problem.goal == "stiffness":
            target = problem.most_mass * mass / max(blueprint.mass(designs.nominal), 1e-30)
            limits, slopes = [mass / target - 1, *limits], [mass_slope / target, *slopes]
            value, slope = found.compliance, self._back(designs, found.compliance_slope)
        passed = [*limits, *self._overused(found)]
        asked, asked_slopes = self._strength(designs, found)
        price = DEAREST if problem.goal == "mass" else _DEAREST_USE
        dearest = np.array([DEAREST] * len(limits) + [price] * len(asked))
        limits, slopes = [*limits, *asked], [*slopes, *asked_slopes]
        return _Aim(value, slope, np.array(limits), self.xp.stack(slopes), dearest, max(passed))

    def _limits(self, designs: Designs, found: Evaluated) -> tuple[list[float], list[Array]]:
        """Motions as squares of their share of what is allowed, frequencies as inverse squares."""
        values, slopes = [], []
        for limit, motion, slope in zip(
            self.problem.limits, found.motions, found.motion_slopes, strict=True
        ):
            values.append(float(motion / limit.most) ** 2 - 1)
            slopes.append(self._back(designs, slope) * (2 * float(motion) / limit.most**2))
        if self.problem.frequency is not None:
            least = (2 * np.pi * self.problem.frequency.least) ** 2
            for frequency, slope in zip(found.frequencies, found.frequency_slopes, strict=True):
                value = (2 * np.pi * float(frequency)) ** 2
                values.append(least / value - 1)
                slopes.append(self._back(designs, slope) * (-least / value**2))
        return values, slopes

    def _strength(self, designs: Designs, found: Evaluated) -> tuple[list[float], list[Array]]:
        """Uses over what is asked of this step, by load case; gradients of their p-norms, scaled.

        What is far above the limit is asked back bit by bit: whole steps towards it at once would
        leave nothing of the other aims.
        """
        limit, stressed = self.problem.strength, found.stressed
        if limit is None or stressed is None:
            return [], []
        values, slopes = [], []
        for use, norm, slope in zip(stressed.uses, stressed.norms, stressed.slopes, strict=True):
            if slope is not None:
                over = float(np.log(use / limit.most))
                values.append(over if self.problem.goal == "mass" else min(over, _BACK))
                slopes.append(self._back(designs, slope) / float(norm))
        return values, slopes

    def _overused(self, found: Evaluated) -> list[float]:
        limit, stressed = self.problem.strength, found.stressed
        return [] if limit is None or stressed is None else list(stressed.uses / limit.most - 1)

    def _back(self, designs: Designs, gradient: Array) -> Array:
        """Gradient to the free variables, scaled first: fp32 has no room for joules."""
        size = float(abs(gradient).max()) or 1.0
        back = self.blueprint.backward(designs, designs.eroded, gradient / size)
        return self._part(back) * size

    def _part(self, values: Array) -> Array:
        return values.ravel()[self._places].astype(self._kept, copy=False)

    def _whole(self, x: Array) -> Array:
        shape = self.problem.body.grid.shape
        if self.blueprint.free is None:
            return x.astype(np.float32, copy=False).reshape(shape)
        whole = self.xp.zeros(shape, np.float32)
        whole.ravel()[self._places] = x
        if self.blueprint.solid is not None:
            whole[self.blueprint.solid] = 1
        return whole

    def _step(
        self, mma: MovingAsymptotes, aim: _Aim, scale: float, sharpness: float
    ) -> MovingAsymptotes:
        standing = self.recipe.overhang is not None
        share = _STANDING_SHARP_MOVE if standing else _SHARP_MOVE
        move = min(self.recipe.move, share / sharpness)
        if self._judged(sharpness):
            move = min(move, _STRONG_MOVE, _STRONG_SHARP_MOVE / sharpness)
        if self._plain and not self._judged(sharpness):
            x = oc_step(
                self.xp, mma.x, aim.slope, float(aim.limits[0]), aim.limit_slopes[0], move
            )  # fmt: skip
            return MovingAsymptotes(x)
        now = abs(aim.value) / scale
        dearest = np.where(aim.dearest < DEAREST, now * aim.dearest, DEAREST)
        return mma.step(self.xp, aim.slope / scale, aim.limits, aim.limit_slopes, move, dearest)

    def _finish(self, standing: Standing, cancelled: bool) -> Design:
        assert standing.best is not None
        best = standing.best
        x = self.backend.put(best.x, best.x.dtype)
        designs = self._draw(x, best.step.sharpness)
        return Design(
            density=self.backend.get(designs.nominal.density),
            eroded=self.backend.get(designs.eroded.density),
            best=best.step,
            history=standing.history,
            cancelled=cancelled,
        )
