"""What breaks first, for a whole study: every case, by energy and by march; link; spares."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from refledge.airframe.blows.cases import SPEED, crash_cases
from refledge.airframe.blows.energy import Blow, blow
from refledge.model.checks import Check
from refledge.printing.calibration import Calibration
from refledge.printing.plates import Bed, Piece, Plate, lay_out, on_some_bed
from refledge.repair.history import History
from refledge.repair.marching import Model, make_model
from refledge.repair.record import BuildRecord, build_record
from refledge.repair.sampling import Chances, chances
from refledge.repair.spares import Step, crash_count, demand, keep, mixed, updated
from refledge.repair.survival import CRASH_PRIOR, Rate
from refledge.repair.weak_link import WeakLink, weak_link
from refledge.study import Study
from refledge.typed import Floats

SHARE_WEIGHT = 10.0
"""Crashes that the guessed shares of the cases are worth against logged ones (a choice)."""
LINK_SHARE = 0.25
"""Of the samples, what each strength of a weak link is tried with."""
KINDS = {
    "arm": ("arm", "arm_inner", "arm_outer"),
    "plates": ("upper_plate", "lower_plate"),
    "leg": ("leg", "leg_upper", "leg_lower"),
    "mount": ("mount",),
    "tray": ("tray",),
}
"""Kinds of part in the crashes to the parts that are printed for them."""

Progress = Callable[[str, float], None]


@dataclass(frozen=True, eq=False)
class Asked:
    """What is asked of ``find_breaks``."""

    samples: int = 400
    """Crashes of each case."""
    speed: float = SPEED
    """m/s, median."""
    link: str = ""
    """arm, leg or bolt; empty: that of the brief, if it chose one."""
    flying: float = 5 * 3600.0
    """s flown before more can be printed."""
    service: float = 0.9
    """Chance wanted that no part is missing in that time (1)."""
    seed: int = 1


@dataclass(frozen=True, eq=False)
class Breaks:
    """What breaks first, and what to keep."""

    asked: Asked
    parts: tuple[str, ...]
    blows: tuple[Blow, ...]
    found: tuple[Chances, ...]
    shares: tuple[float, ...]
    """Of the cases, with what the log says (1)."""
    link: WeakLink | None
    rate: Rate
    record: BuildRecord
    stock: tuple[Step, ...]
    plates: tuple[Plate, ...]
    """The stock laid out on the bed."""
    locks: int = 0
    """Lock bolts of folding arms to carry, enough at the service wanted; 0 with clamped arms."""
    sized: tuple[Check, ...] = ()
    """Margins of the weak link that the brief chose and sizing made; none where it chose none."""

    def over_all(self, part: str) -> tuple[float, float]:
        """Chance that a part breaks, and breaks first, in a crash of any kind (1)."""
        at = self.parts.index(part)
        breaks = np.average([each.breaks[at] for each in self.found], weights=self.shares)
        first = np.average([each.first[at] for each in self.found], weights=self.shares)
        return float(breaks), float(first)


def find_breaks(
    study: Study,
    asked: Asked,
    *,
    log: History | None = None,
    calibration: Calibration | None = None,
    progress: Progress | None = None,
) -> Breaks:
    """March the study's frame through its crashes; plan link and spares.

    ``log`` updates what is guessed, ``calibration`` the print times and grams.
    """
    tell = progress or _quiet
    tell("modes of the frame", 0.0)
    model = make_model(study.task, study.frame, study.assessment)
    cases = crash_cases(study.assessment.structure, model.points)
    found = []
    for number, case in enumerate(cases):
        part_of = _part_of(tell, number / (2 * len(cases)), (number + 1) / (2 * len(cases)))
        found.append(
            chances(model, study.task, study.frame, case, asked.samples, seed=asked.seed,
                    speed=asked.speed, progress=part_of)
        )  # fmt: skip
    key = asked.link or sized_link(study)
    link = _link(study, model, key, asked, tell) if key else None
    shares = _shares([each.case.share for each in found], [c.key for c in cases], log)
    tell("print times", 0.95)
    record = build_record(study, calibration)
    rate = log.rate if log else CRASH_PRIOR
    stock = _stock(record, found, shares, rate, asked, log)
    return Breaks(
        asked=asked,
        parts=model.parts,
        blows=tuple(blow(model, case, asked.speed) for case in cases),
        found=tuple(found),
        shares=tuple(shares),
        link=link,
        rate=rate,
        record=record,
        stock=stock,
        plates=_laid_out(study, record, stock[-1]),
        locks=locks_to_carry(found, shares, rate, asked),
        sized=tuple(check for check in study.checks if check.key.startswith("weak-link")),
    )


def sized_link(study: Study) -> str:
    """The weak link that the brief chose, or ""."""
    link = study.brief.frame.weak_link
    return "" if link == "none" else link


def _link(study: Study, model: Model, key: str, asked: Asked, tell: Progress) -> WeakLink:
    cases = crash_cases(study.assessment.structure, model.points)
    count = max(1, round(LINK_SHARE * asked.samples))
    return weak_link(
        key, model, study.task, study.frame, study.assessment, cases, count,
        seed=asked.seed, progress=_part_of(tell, 0.5, 0.95), layout=study.layout,
    )  # fmt: skip


def _shares(guess: list[float], keys: list[str], log: History | None) -> list[float]:
    """Shares of the cases once logged crashes are counted (Dirichlet)."""
    seen = log.by_case if log else {}
    counts = [SHARE_WEIGHT * g + seen.get(key, 0) for g, key in zip(guess, keys, strict=True)]
    return [each / sum(counts) for each in counts]


def _stock(
    record: BuildRecord, found: list[Chances], shares: list[float], rate: Rate, asked: Asked,
    log: History | None,
) -> tuple[Step, ...]:  # fmt: skip
    copies: dict[str, Floats] = {}
    broken = {each.part: each.per_crash for each in log.parts} if log else {}
    for kind, keys in KINDS.items():
        chance = mixed([each.copies[kind] for each in found], shares)
        for key in keys:
            copies[key] = updated(chance, broken.get(key, broken.get(kind, ())))
    spares = [spare for spare in record.spares() if spare.key in copies]
    return keep(spares, copies, rate, asked.flying, asked.service)


def locks_to_carry(
    found: Sequence[Chances], shares: Sequence[float], rate: Rate, asked: Asked
) -> int:
    """Fewest lock bolts that are enough with the chance ``asked.service``; 0 where none breaks."""
    if any("lock" not in each.copies for each in found):
        return 0
    chance = mixed([each.copies["lock"] for each in found], shares)
    enough = np.cumsum(demand(crash_count(rate, asked.flying), chance))
    return int(np.searchsorted(enough, asked.service))


def _laid_out(study: Study, record: BuildRecord, step: Step) -> tuple[Plate, ...]:
    """The stock as plates: one material each; what fits no bed is on none."""
    printer = study.brief.printer
    bed = Bed("the printer", printer.bed_length, printer.bed_width)
    sizes = {spec.key: spec.size for spec in study.parts}
    by_material: dict[str, list[Piece]] = {}
    for key, count in step.stock:
        part = record.part(key)
        assert part is not None  # the stock is made from the record
        if not on_some_bed((float(sizes[key][0]), float(sizes[key][1])), [bed]):
            continue
        for copy in range(count):
            piece = Piece(key, copy + 1, sizes[key][0], sizes[key][1], part.seconds, 0)
            by_material.setdefault(part.material, []).append(piece)
    found = (lay_out(pieces, [bed], material) for material, pieces in by_material.items())
    return tuple(plate for plates in found for plate in plates)


def _part_of(tell: Progress, start: float, end: float) -> Progress:
    return lambda what, share: tell(what, start + (end - start) * share)


def _quiet(_what: str, _share: float) -> None:
    """Progress that nobody asked for."""
