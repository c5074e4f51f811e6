"""The user's prints held against the model: records of this study's parts for the calibration."""

from collections.abc import Sequence

from refledge.errors import InputError, Problem
from refledge.inputs.print_records import PrintRow
from refledge.planning.plan import PrintPlan
from refledge.printing.calibration import PrintRecord
from refledge.study import Study


def records_of(
    study: Study, plan: PrintPlan, rows: Sequence[PrintRow], source: str
) -> list[PrintRecord]:
    """What the model says of each print, and what clock and scale said.

    Raises InputError where a row names a part that this airframe does not print.
    """
    planned = {part.spec.key: part for part in plan.parts}
    planned |= {part.spec.name: part for part in plan.parts}
    known = ", ".join(part.spec.key for part in plan.parts)
    wrong = [row for row in rows if row.part not in planned]
    if wrong:
        raise InputError(
            *(
                Problem(
                    f"{source}:{row.line}", "part", row.part or "nothing", known,
                    "name a part of this airframe, or take the line out",
                )
                for row in wrong
            )
        )  # fmt: skip
    return [
        PrintRecord(
            planned[row.part].chosen.figures,
            row.copies,
            row.seconds,
            row.kilograms,
            study.cards[planned[row.part].spec.material].rho.value,
        )
        for row in rows
    ]
