"""Up to which speed a weak link spares the centre plates, and what breaks them beyond.

A link that breaks takes little out of a crash: it goes within a millisecond or two, and the rest of
the aircraft flies on until it meets the ground itself. So what it spares is a matter of speed, and
beyond that of what the body then lands on.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.airframe.blows.cases import CrashCase
from refledge.model.copies import kind_of
from refledge.repair.marching import Crashes, Model, Outcome, first_motion, follow, gaps
from refledge.repair.sampling import DURATION
from refledge.typed import Floats

SPEEDS = np.arange(0.5, 8.01, 0.25)
"""m/s tried: our choice; beyond, the sums of a crash are not for it."""
UNBROKEN = 1e9
"""Factor on the strength of a link that never breaks."""


@dataclass(frozen=True)
class Sparing:
    """One way to hit the ground at nominal attitude and strength, at rising speed."""

    key: str
    """Of the crash case."""
    title: str
    speed: float
    """m/s up to which the plates stay whole; the highest tried where they always do, 0 where they
    never do."""
    without: float
    """The same were the link never to break."""
    link_first: bool
    """At the lowest speed that breaks the plates the link breaks first; at the lowest tried where
    none does."""
    landed_on: tuple[str, ...]
    """What is on the ground when the plates break at that speed; empty where they never do."""
    left: float
    """Energy of the aircraft that is left then, over what it came with (1)."""


def sparing(
    model: Model, cases: Sequence[CrashCase], kind: str, scale: float = 1.0
) -> tuple[Sparing, ...]:
    """What a link of ``kind`` at ``scale`` of its strength spares in each case."""
    return tuple(_one(model, case, kind, scale) for case in cases)


def _one(model: Model, case: CrashCase, kind: str, scale: float) -> Sparing:
    crashes = nominal(model, case, SPEEDS, {kind: scale})
    found = follow(model, crashes, DURATION)
    never = follow(model, nominal(model, case, SPEEDS, {kind: UNBROKEN}), DURATION)
    broken = found.broken[:, model.parts.index("plates")]
    at = int(np.argmax(broken))  # the lowest speed that breaks them, if any does
    return Sparing(
        key=case.key,
        title=case.title,
        speed=spared(found),
        without=spared(never),
        link_first=kind_of(model.parts[found.first[at]]) == kind,
        landed_on=landed_on(model, crashes, found, at) if broken.any() else (),
        left=energy_left(model, crashes, found, at),
    )


def nominal(model: Model, case: CrashCase, speeds: Floats, scale: dict[str, float]) -> Crashes:
    """A crash at each of ``speeds`` (n,), m/s, none of it by chance; ``scale``: factors on strength
    by kind of part."""
    strength = np.array([scale.get(kind_of(part), 1.0) for part in model.parts])
    every = np.tile(strength, (len(speeds), 1))
    along = speeds[:, None]
    up = np.tile(case.up, (len(speeds), 1))
    return Crashes(up, along * case.velocity, along * case.turn, every, every)


def spared(found: Outcome) -> float:
    """m/s of ``SPEEDS`` up to which, all lower ones too, the plates stay whole."""
    broken = found.broken[:, found.parts.index("plates")]
    whole = len(broken) if not broken.any() else int(np.argmax(broken))
    return float(SPEEDS[whole - 1]) if whole else 0.0


def landed_on(model: Model, crashes: Crashes, found: Outcome, row: int) -> tuple[str, ...]:
    """Owners of the points in the ground at the end of one crash."""
    q, _, gone = found.ends[row]
    reduced, _ = model.reduced(gone)
    up = crashes.up[row]
    height = gaps(model, crashes.up[row : row + 1])[0]
    height = height + np.einsum("pdk,k,d->p", reduced.points, q, up)
    touching = (height < 0.0) & (reduced.present > 0.0)
    owners = (model.points[k].owner or "top" for k in np.flatnonzero(touching))
    return tuple(dict.fromkeys(owners))


def energy_left(model: Model, crashes: Crashes, found: Outcome, row: int) -> float:
    """Of motion and strain at the end of one crash, over that of motion at its start (1)."""
    q, v, gone = found.ends[row]
    reduced, _ = model.reduced(gone)
    whole, _ = model.reduced(frozenset())
    start = first_motion(model, whole, crashes)[row]
    return float((v @ v + reduced.squares @ q**2) / (start @ start))
