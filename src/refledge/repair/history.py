"""What the log says: hours, crash rate, what breaks, how long parts last, what to change."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from refledge.model.logbook import Crash, Damage, Flight, Logged, PartLife, Print
from refledge.repair.survival import (
    CRASH_PRIOR,
    LOOK,
    RETIRE,
    Curve,
    Life,
    Rate,
    kaplan_meier,
    weibull_life,
)

MOST_BREAKS = 3
"""Breaks of one kind of part after which it is called the one that keeps breaking (a choice)."""


@dataclass(frozen=True, eq=False)
class PartHistory:
    """One kind of part in the log."""

    part: str
    flying: int
    breaks: int
    """In crashes."""
    worn: int
    per_crash: tuple[int, ...]
    """Copies broken in each crash."""
    life: Life
    curve: Curve | None
    """None where no copy has a life on record."""
    look: float  # s, flown time at which a new copy should be looked at
    retire: float  # s, and at which it should be taken off
    oldest: float  # s flown by the copy that has flown most


@dataclass(frozen=True, eq=False)
class History:
    """The whole log, summed up."""

    seconds: float
    flights: int
    crashes: int
    by_case: dict[str, int]
    rate: Rate
    parts: tuple[PartHistory, ...]
    lives: tuple[PartLife, ...]
    prints: int
    failed_prints: int
    advice: tuple[str, ...]


def history(entries: Sequence[Logged], lives: Sequence[PartLife]) -> History:
    """Sum a log up."""
    flown = [e.entry.seconds for e in entries if isinstance(e.entry, Flight)]
    crashes = [e for e in entries if isinstance(e.entry, Crash)]
    prints = [e.entry for e in entries if isinstance(e.entry, Print)]
    cases: dict[str, int] = {}
    for each in crashes:
        assert isinstance(each.entry, Crash)  # chosen above
        cases[each.entry.case] = cases.get(each.entry.case, 0) + 1
    damage = [e.entry for e in entries if isinstance(e.entry, Damage)]
    kinds = dict.fromkeys([*(d.part for d in damage), *(life.part for life in lives)])
    parts = tuple(_part(kind, damage, crashes, lives) for kind in kinds)
    return History(
        seconds=sum(flown),
        flights=len(flown),
        crashes=len(crashes),
        by_case=cases,
        rate=CRASH_PRIOR.after(len(crashes), sum(flown)),
        parts=parts,
        lives=tuple(lives),
        prints=len(prints),
        failed_prints=sum(1 for each in prints if each.failure),
        advice=tuple(_advice(parts, len(crashes), prints)),
    )


def _part(
    kind: str, damage: Sequence[Damage], crashes: Sequence[Logged], lives: Sequence[PartLife]
) -> PartHistory:
    own = [life for life in lives if life.part == kind]
    broken = [d for d in damage if d.part == kind and d.outcome == "broken"]
    times = [life.seconds for life in own]
    wore = [life.why == "wear" for life in own]
    life = weibull_life(times, wore)
    return PartHistory(
        part=kind,
        flying=sum(1 for each in own if not each.removed),
        breaks=sum(1 for d in broken if d.crash),
        worn=sum(wore),
        per_crash=tuple(sum(1 for d in broken if d.crash == c.number) for c in crashes),
        life=life,
        curve=kaplan_meier(np.array(times), np.array(wore)) if times else None,
        look=life.age_at(LOOK),
        retire=life.age_at(RETIRE),
        oldest=max((each.seconds for each in own if not each.removed), default=0.0),
    )


def _advice(parts: Sequence[PartHistory], crashes: int, prints: Sequence[Print]) -> list[str]:
    """In plain words; nothing where the log is too thin to say anything."""
    made = []
    for part in sorted(parts, key=lambda each: -each.breaks):
        name = part.part.replace("_", " ")
        if part.breaks >= MOST_BREAKS:
            made.append(
                f"The {name} keeps breaking: {part.breaks} in {crashes} crashes. Keep spares, or "
                "move the weak link (refledge crash --weak-link) so that it or something cheaper "
                "goes on purpose."
            )
        if part.worn >= 1:
            kind = (
                "wears out: the longer it flies the likelier it fails"
                if part.life.wears > 0.8
                else "fails in flight, and it is too early to say whether by age or by chance"
            )
            made.append(
                f"The {name} {kind} ({part.worn} so far). "
                f"Look at it every {part.look / 3600:.1f} h, take it off at "
                f"{part.retire / 3600:.0f} h; more walls or a tougher material help."
            )
        if part.oldest > part.retire:
            made.append(
                f"A {name} has flown {part.oldest / 3600:.1f} h, past its {part.retire / 3600:.1f} "
                "h: replace it."
            )
        elif part.oldest > part.look:
            made.append(
                f"A {name} has flown {part.oldest / 3600:.1f} h: look at it (due every "
                f"{part.look / 3600:.1f} h)."
            )
    failed: dict[str, int] = {}
    for each in prints:
        if each.failure:
            failed[each.failure] = failed.get(each.failure, 0) + 1
    made += [f"{n} prints failed: {why}." for why, n in failed.items() if n >= 2]
    return made
