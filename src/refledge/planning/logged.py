"""Prints that the log holds, as records for the time model: those of this design, as it is."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from refledge.inputs.print_records import PrintRow
from refledge.model.logbook import Print
from refledge.planning.plan import PrintPlan

OTHER = "of parts that this airframe has not"
FAILED = "that failed"
CHANGED = "of a part that has changed since"
SET = "with other settings"
PLASTIC = "in another plastic"


def usable_prints(
    plan: PrintPlan, prints: Sequence[Print], revisions: Mapping[str, str]
) -> tuple[tuple[PrintRow, ...], str]:
    """Rows for ``records_of``, and in words how many others were left out and why.

    revisions: interface revision of each part; a print that names none is taken for this design's.
    """
    planned = {part.spec.key: part.spec.material for part in plan.parts}
    why = [_why_not(each, planned, revisions) for each in prints]
    rows = tuple(
        PrintRow(each.part, each.copies, each.seconds, each.mass, number)
        for number, (each, reason) in enumerate(zip(prints, why, strict=True), 2)
        if not reason
    )
    counts = Counter(reason for reason in why if reason)
    return rows, "; ".join(f"left out: {n} {reason}" for reason, n in counts.items())


def _why_not(each: Print, planned: Mapping[str, str], revisions: Mapping[str, str]) -> str:
    if each.part not in planned:
        return OTHER
    if each.failure or each.seconds <= 0:
        return FAILED
    if each.revision and each.revision != revisions[each.part]:
        return CHANGED
    if each.settings:
        return SET
    return PLASTIC if each.material not in ("", planned[each.part]) else ""


def rows_csv(rows: Sequence[PrintRow]) -> str:
    """The rows as ``read_print_records`` takes them, to the last digit."""
    return "\n".join(_lines(rows)) + "\n"


def _lines(rows: Sequence[PrintRow]) -> Iterator[str]:
    yield "part,copies,minutes,grams"
    for row in rows:
        grams = repr(1e3 * row.kilograms) if row.kilograms else ""
        yield f"{row.part},{row.copies},{row.seconds / 60!r},{grams}"
