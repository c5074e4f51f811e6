"""Many crashes by chance: speed, attitude, strength; how often each part breaks, and first."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from refledge.airframe.blows.cases import ATTITUDE_SPREAD, SPEED, SPEED_SPREAD, CrashCase
from refledge.airframe.blows.places import COPY_SPREAD, material_of
from refledge.airframe.task import Task
from refledge.model.copies import kind_of
from refledge.model.parts import FrameDesign
from refledge.repair.marching import Crashes, Model, Outcome, follow
from refledge.typed import Floats, Ints

DURATION = 0.06
"""s followed: first contact, rebound, and what comes down next (a choice)."""
PROTECTED = ("plates", "mount", "tray", "electronics")
"""Kinds of part that a weak link is to spare: dear, slow to print, or long to take apart."""
BATCH = 500
"""Crashes marched at once, so that progress can be told."""

Progress = Callable[[str, float], None]


@dataclass(frozen=True, eq=False)
class Chances:
    """How often each part breaks in one way to crash, over all samples."""

    case: CrashCase
    samples: int
    parts: tuple[str, ...]
    breaks: Floats
    """(parts,), 1: it breaks."""
    first: Floats
    """(parts,), 1: it breaks first."""
    nothing: float
    """1: nothing breaks."""
    spared: float
    """1: nothing breaks of what is PROTECTED."""
    copies: Mapping[str, Floats]
    """By kind of part: (n + 1,), 1: chance that 0, 1, ... n copies break in one crash."""
    peak: Floats
    """(parts,), 1: median of the greatest use of strength up to the first break."""

    def first_of(self, kind: str) -> float:
        """Chance that a part of this kind breaks first (1)."""
        return float(sum(f for p, f in zip(self.parts, self.first, strict=True)
                         if kind_of(p) == kind))  # fmt: skip


def draw(
    model: Model, task: Task, frame: FrameDesign, case: CrashCase, count: int,
    random: np.random.Generator, speed: float = SPEED,
) -> Crashes:  # fmt: skip
    """``count`` crashes of one kind; speed: median, m/s.

    Speed and strengths are lognormal, the attitude turns by a normal angle about two axes. Spool
    and bond between layers are shared by all copies of one crash; the rest is each copy's own.
    """
    speeds = speed * np.exp(SPEED_SPREAD * random.standard_normal(count))
    turns = ATTITUDE_SPREAD * random.standard_normal((count, 3))
    up = case.up + np.cross(turns, case.up)
    up /= np.linalg.norm(up, axis=1, keepdims=True)
    velocity = speeds[:, None] * (case.velocity + np.cross(turns, case.velocity))
    shared = random.standard_normal((2, count, 1))
    own = random.standard_normal((2, count, len(model.parts)))
    spreads = np.array([material_of(task, frame, part) for part in model.parts]).T
    factors = np.exp(spreads[:, None, :] * shared + COPY_SPREAD * own)
    return Crashes(up, velocity, speeds[:, None] * case.turn, factors[0], factors[1])


def chances(
    model: Model, task: Task, frame: FrameDesign, case: CrashCase, count: int, *,
    seed: int = 1, speed: float = SPEED, scale: Mapping[str, float] | None = None,
    progress: Progress | None = None,
) -> Chances:  # fmt: skip
    """March ``count`` crashes of one kind. ``scale``: factors on strength by kind of part."""
    random = np.random.default_rng([seed, *case.key.encode()])
    weaker = np.array([(scale or {}).get(kind_of(part), 1.0) for part in model.parts])
    done: list[Outcome] = []
    for start in range(0, count, BATCH):
        if progress:
            progress(case.title, start / count)
        number = min(BATCH, count - start)
        crashes = draw(model, task, frame, case, number, random, speed)
        weak = Crashes(crashes.up, crashes.velocity, crashes.turn, crashes.plane * weaker,
                       crashes.across * weaker)  # fmt: skip
        done.append(follow(model, weak, DURATION))
    return summed(case, done)


def summed(case: CrashCase, done: list[Outcome]) -> Chances:
    """Chances from the outcomes of all batches."""
    parts = done[0].parts
    broken = np.concatenate([each.broken for each in done])
    first: Ints = np.concatenate([each.first for each in done])
    kinds = dict.fromkeys(kind_of(part) for part in parts)
    dear = [k for k, part in enumerate(parts) if kind_of(part) in PROTECTED]
    copies = {}
    for kind in kinds:
        columns = [k for k, part in enumerate(parts) if kind_of(part) == kind]
        number = broken[:, columns].sum(axis=1)
        copies[kind] = np.bincount(number, minlength=len(columns) + 1) / len(broken)
    return Chances(
        case=case,
        samples=len(broken),
        parts=parts,
        breaks=broken.mean(axis=0),
        first=np.array([float((first == k).mean()) for k in range(len(parts))]),
        nothing=float((first < 0).mean()),
        spared=float((~broken[:, dear].any(axis=1)).mean()),
        copies=copies,
        peak=np.median(np.concatenate([each.peak for each in done]), axis=0),
    )
