"""The airframe sized round a grown arm, and the rounds that it took, in words."""

from collections.abc import Iterator
from dataclasses import asdict
from math import isnan
from typing import Any

from refledge.model.checks import Check, Verdict
from refledge.outputs.frame_table import frame_rows
from refledge.shaping.result import InFrame, Result, Round
from refledge.units import show

ROUND_WORDS = (
    "Loads: the greatest force on an arm's tip over that in the airframe with the drawn arm. "
    "Strength by voxels: in their middle, from the second round on times what was more as printed; "
    "a shape of which that says enough is not solved."
)
_NAMES = (
    "loads that it grew under", "it might weigh, solid", "it weighs as printed",
    "strength used, by voxels", "strength used, as printed", "strength used in its airframe",
    "loads there", "lowest mode there", "checks that fail there",
)  # fmt: skip
_COUNTED = {
    Verdict.HOLDS: "hold",
    Verdict.NARROWLY: "hold narrowly",
    Verdict.FAILS: "fail",
    Verdict.UNKNOWN: "cannot be answered",
}


def round_heads(found: Result) -> tuple[str, ...]:
    """Heads of the columns of ``round_rows``."""
    return ("", *(f"round {each.number}" for each in found.rounds))


def round_rows(found: Result) -> Iterator[tuple[str, ...]]:
    """What each round came to, one column each."""
    return zip(_NAMES, *map(_told, found.rounds), strict=True) if found.rounds else iter(())


def _told(each: Round) -> tuple[str, ...]:
    allowed = "as little as may be" if each.allowed is None else show(each.allowed, "kg", "g")
    use = "not solved" if each.use is None else show(each.use, "1", "%")
    grown = (
        _times(each.loads), allowed, show(each.mass, "kg", "g"),
        show(each.voxel_use, "1", "%"), use,
    )  # fmt: skip
    made = each.framed
    if made is None:
        return (*grown, *["–"] * 4)
    failed = str(len(made.lacking)) if made.lacking else "none"
    mode = show(made.first_mode, "Hz", "Hz")
    return (*grown, show(made.use, "1", "%"), _times(made.loads), mode, failed)


def _times(ratio: float) -> str:
    return f"{ratio:.2f} x"


def framed_rows(found: Result) -> Iterator[tuple[str, ...]]:
    """Figure, with the drawn and with the grown arm, and the change; none where not made."""
    if found.frames:
        yield from frame_rows(found.frames)


def open_checks(found: Result) -> Iterator[tuple[str, str, str]]:
    """Checks that do not hold with the grown arm, what they say, and what they said before."""
    if found.framed is None:
        return
    before = {check.key: check for check in found.study.checks}
    for check in found.framed.checks:
        if check.verdict in (Verdict.FAILS, Verdict.UNKNOWN):
            was = before.get(check.key)
            yield _named(check), _judged(check), _judged(was) if was else "not asked"


def framed_verdict(found: Result) -> str:
    """In one or two sentences; "" where the arm was not solved as printed."""
    if found.grounded:
        return f"No airframe can have this arm: {found.grounded}."
    if found.framed is None:
        return ""
    checks = found.framed.checks
    count = {each: sum(check.verdict is each for check in checks) for each in Verdict}
    said = ", ".join(f"{number} {_COUNTED[each]}" for each, number in count.items() if number)
    return (
        f"The airframe sized round the grown arm, by refledge design: of {len(checks)} checks "
        f"{said}."
    )


def rounds_json(found: Result) -> list[dict[str, Any]]:
    """SI."""
    return [_round(each) for each in found.rounds]


def _round(each: Round) -> dict[str, Any]:
    made = each.framed
    return {
        "round": each.number, "tip_loads_over_drawn": each.loads, "allowed_kg": each.allowed,
        "mass_kg": each.mass, "use_by_voxels": each.voxel_use, "use_as_printed": each.use,
        "in_its_frame": None if made is None else _in_frame(made),
    }  # fmt: skip


def _in_frame(made: InFrame) -> dict[str, Any]:
    return {
        "tip_loads_over_drawn": made.loads, "use_of_strength": made.use,
        "first_mode_Hz": made.first_mode, "all_up_mass_kg": made.all_up_mass,
        "lacking": list(made.lacking),
    }  # fmt: skip


def framed_json(found: Result) -> dict[str, Any] | None:
    """SI."""
    if found.framed is None:
        return {"why_not": found.grounded} if found.grounded else None
    made = found.framed
    return {
        "verdict": str(made.verdict),
        "figures": [asdict(each) for each in found.frames],
        "modes_Hz": [float(each) for each in made.airframe_modes.frequencies[:6]],
        "checks": [
            {
                "key": each.key, "title": each.title, "part": each.part,
                "load_case": each.load_case, "demand": each.demand, "capacity": each.capacity,
                "unit": each.unit, "margin": each.margin, "verdict": str(each.verdict),
                "note": each.note,
            }
            for each in made.checks
        ],
    }  # fmt: skip


def _named(check: Check) -> str:
    case = f", {check.load_case}" if check.load_case else ""
    return f"{check.title} ({check.part}{case})"


def _judged(check: Check) -> str:
    if isnan(check.margin):  # nobody has looked
        return str(check.verdict)
    reserve = f"{100 * check.margin:+.0f} %".replace("-", "−")
    return f"reserve {reserve}, {check.verdict}"
