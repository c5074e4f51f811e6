"""What the report and the command line say in plain words about a study."""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from refledge.model.checks import Check, Verdict
from refledge.model.results import ModeSet
from refledge.study import Study
from refledge.units import figure, show
from refledge.verify.results import HotSpot, PartVerified

_SEVERITY = (Verdict.FAILS, Verdict.UNKNOWN, Verdict.NARROWLY, Verdict.HOLDS)
_MODE_LINES = 14  # as many as a chart can label
GROUPS = ("flight", "stiffness", "strength", "joints", "shaking", "heat", "fit")

CAUTIONS = (
    ("On the bench", "Take the propellers off before you power anything on the bench."),
    (
        "Thrust tests",
        "Fix the stand, put a shield between you and the propeller's plane, keep your distance, "
        "and have a way to cut the power that does not need reaching over it.",
    ),
    (
        "Lithium packs",
        "Watch them while they charge, on ground that cannot burn. After a crash inspect and "
        "wait; a swollen, dented or warm pack is not flown again.",
    ),
    (
        "Dust and fumes",
        "Fibre-filled plastics shed dust when sanded or drilled: wet it, wear a mask. Print with "
        "the room aired.",
    ),
    (
        "Proof-load every arm",
        "Printed parts vary. Load each arm as its strongest flight load case says, before the "
        "first flight and after every crash.",
    ),
    (
        "Where you may fly",
        "Weight classes, registration, where and over whom: the rules of the place decide. "
        "Look them up.",
    ),
    (
        "What these figures are",
        "Engineering estimates from the brief and the tables named. They are not a finding of "
        "airworthiness.",
    ),
)


def count(number: int, thing: str) -> str:
    """Such as ``1 check`` or ``3 checks``."""
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def having(checks: Iterable[Check], verdict: Verdict) -> tuple[Check, ...]:
    """Checks with one verdict, the least margin first."""
    found = (check for check in checks if check.verdict is verdict)
    return tuple(sorted(found, key=_by_severity))


def _by_severity(check: Check) -> tuple[int, float, str]:
    """Sorts the worst check first; one without a margin stands at the limit."""
    margin = 0.0 if math.isnan(check.margin) else check.margin
    return _SEVERITY.index(check.verdict), margin, check.key


@dataclass(frozen=True)
class Condensed:
    """The worst of all checks that ask the same of the same part, and the others."""

    worst: Check
    others: tuple[Check, ...]


def condensed(checks: Iterable[Check]) -> tuple[Condensed, ...]:
    """Checks that differ only in load case put together, in the order of their first."""
    together: dict[tuple[str, str], list[Check]] = {}
    for check in checks:
        together.setdefault((check.title, check.part), []).append(check)
    ordered = (sorted(alike, key=_by_severity) for alike in together.values())
    return tuple(Condensed(worst, tuple(others)) for worst, *others in ordered)


@dataclass(frozen=True)
class ModeGroup:
    """Neighbouring modes in which the same thing moves."""

    label: str
    count: int
    low: float  # Hz
    high: float  # Hz
    felt: float  # m/s2, most of them at the flight controller
    matters: bool
    """Whether the flight controller would feel it beyond what is let be."""

    @property
    def frequency(self) -> str:
        low, high = figure(self.low), show(self.high, "Hz", "Hz")
        return high if figure(self.high) == low else f"{low} to {high}"


def mode_groups(modes: ModeSet, most: int = _MODE_LINES) -> tuple[ModeGroup, ...]:
    """Modes from the lowest, those of one kind near each other as one, to ``most`` at best."""
    for near in (0.05, 0.1, 0.2, 0.4):
        groups = _grouped(modes, near)
        if len(groups) <= most:
            break
    return groups


def _grouped(modes: ModeSet, near: float) -> tuple[ModeGroup, ...]:
    groups: list[ModeGroup] = []
    for one in _single_modes(modes):
        alike = (k for k, group in enumerate(groups) if _alike(group, one, near))
        at = next(alike, None)
        if at is None:
            groups.append(one)
        else:
            known = groups[at]
            felt = max(known.felt, one.felt)
            groups[at] = replace(known, count=known.count + 1, high=one.high, felt=felt)
    return tuple(groups)


def _single_modes(modes: ModeSet) -> Iterator[ModeGroup]:
    lines = zip(modes.frequencies.tolist(), modes.felt.tolist(), modes.labels, strict=True)
    for frequency, felt, label in lines:
        matters = felt >= modes.felt_limit > 0
        yield ModeGroup(label, 1, frequency, frequency, felt, matters)


def _alike(group: ModeGroup, one: ModeGroup, near: float) -> bool:
    same = group.label == one.label and group.matters == one.matters
    return same and one.low <= group.low * (1 + near)


def headline(study: Study) -> str:
    """The verdict on the whole airframe in one sentence."""
    number = {v: len(having(study.checks, v)) for v in Verdict}
    of = f"of {count(len(study.checks), 'check')}"
    if number[Verdict.FAILS]:
        verb = "fails" if number[Verdict.FAILS] == 1 else "fail"
        return f"It does not hold: {number[Verdict.FAILS]} {of} {verb}."
    if number[Verdict.UNKNOWN]:
        return f"Nothing fails, but {number[Verdict.UNKNOWN]} {of} cannot be answered."
    if number[Verdict.NARROWLY]:
        return f"It holds, {number[Verdict.NARROWLY]} {of} narrowly."
    return f"It holds: all {count(len(study.checks), 'check')}."


def sentence(check: Check) -> str:
    """One check as a sentence: what was found, what is wanted."""
    where = f" ({check.part})" if check.part else ""
    bound = "at least" if check.at_least else "at most"
    if math.isnan(check.demand):
        return f"{capital(check.title)}{where}: not known; {check.note or check.method}."
    return (
        f"{capital(check.title)}{where}: {show(check.demand, check.unit, check.shown)}, "
        f"{bound} {show(check.capacity, check.unit, check.shown)} wanted."
    )


def capital(words: str) -> str:
    """``words`` with a capital first letter, the rest as it stands."""
    return words[:1].upper() + words[1:]


def degrees(words: str) -> str:
    """A card's ``4 h at 80 degC`` as it is printed."""
    return words.replace("degC", "°C")


def percent(share: float) -> str:
    """A margin or spread such as ``+18.6 %``; beyond ten times the limit only that."""
    if not math.isfinite(share):
        return "unlimited" if share > 0 else "none"
    return "> +1000 %" if share > 10 else f"{100 * share:+.1f} %".replace("-", "−")


@dataclass(frozen=True)
class Finding:
    """A check that needs reading, with the dimensions that it holds where they are."""

    check: Check
    text: str
    drives: tuple[str, ...]


def findings(study: Study, verdict: Verdict) -> tuple[Finding, ...]:
    return tuple(
        Finding(check, sentence(check), driven_by(study, check))
        for check in having(study.checks, verdict)
    )


def driven_by(study: Study, check: Check) -> tuple[str, ...]:
    """Dimensions that a check holds where they are, with their values."""
    return tuple(
        f"{driver.dimension} ({dimension(driver.value, driver.shown)})"
        for driver in study.drivers_of(check)
    )


def dimension(value: float, shown: str) -> str:
    """A driver's value: lengths are in m, plain numbers have no unit."""
    return show(value, "m", shown) if shown in ("mm", "cm", "m") else show(value, "1", shown)


def load_title(study: Study, key: str) -> str:
    """Title of a load case, or the key itself where it is none of the study's."""
    return next((case.title for case in study.loads if case.key == key), key)


def material_name(study: Study, key: str) -> str:
    card = study.cards.get(key)
    return card.name if card else key


def grouped(study: Study) -> tuple[tuple[str, tuple[Check, ...]], ...]:
    """Checks by group in the order of the job, groups of other names last."""
    names = sorted({c.group for c in study.checks}, key=lambda g: (_rank(g, GROUPS), g))
    return tuple((name, tuple(c for c in study.checks if c.group == name)) for name in names)


def _rank(name: str, order: Sequence[str]) -> int:
    return order.index(name) if name in order else len(order)


def key_figures(study: Study) -> tuple[tuple[str, str], ...]:
    """The figures someone asks for first, with their names."""
    arm, hover = study.frame.arm, study.hover
    throttle = max(rotor.throttle for rotor in hover.rotors)
    return (
        ("all-up mass", show(study.all_up_mass, "kg", "kg")),
        ("frame mass", show(study.frame_mass, "kg", "g")),
        ("layout", study.layout.kind),
        ("arm", f"{arm.family}, {show(study.layout.motor_radius, 'm', 'mm')} to the motor"),
        ("arm material", material_name(study, arm.material)),
        ("hover time", show(hover.endurance, "s", "min")),
        ("hover", f"{show(hover.power, 'W', 'W')} at {show(throttle, '1', '%')} throttle"),
        ("first modes", first_modes(study)),
    )


def first_modes(study: Study) -> str:
    """First mode of the clamped arm and of the free airframe."""
    pairs = (("arm", study.arm_modes), ("airframe", study.airframe_modes))
    return ", ".join(
        f"{name} {show(float(modes.frequencies[0]), 'Hz', 'Hz')}"
        for name, modes in pairs
        if modes.frequencies.size
    )


def in_trade(value: float, unit: str) -> str:
    """A figure in the unit that the trade would use for it."""
    return show(value, unit, {"m": "mm", "rad": "deg"}.get(unit, unit))


def share(part: float, whole: float) -> str:
    """``part`` of ``whole`` in percent, such as a mesh error of its figure."""
    return f"{abs(part / whole) * 100:.1f} %" if whole else "0 %"


def hardest(part: PartVerified, most: int = 2) -> list[HotSpot]:
    """The load cases that use a part's strength most."""
    return sorted(part.spots, key=lambda spot: -max(spot.plastic, spot.layers))[:most]
