"""What ``refledge plan`` does, and what it says at the end."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

from refledge.errors import InputError, Problem
from refledge.inputs.brief import read_brief
from refledge.inputs.print_records import read_print_records
from refledge.interfaces.bench_options import learned_for
from refledge.interfaces.designing import part_of
from refledge.interfaces.print_log import by_rows, with_own_prints
from refledge.outputs.print_plan import hours, plan_files, plan_table, time_words, totals
from refledge.planning.plan import PrintPlan, plan_prints
from refledge.printing.plates import Bed
from refledge.study import Study, design
from refledge.units import UnitError, to_si
from refledge.whole import checked_folder, write_whole

Progress = Callable[[str, float], None]


def run(
    brief: Path,
    out: Path | None,
    records: Path | None,
    printers: list[str],
    progress: Progress,
    store: Path | None = None,
) -> tuple[Study, PrintPlan]:
    """Design, plan, calibrate on the prints given or else on the log's, write where asked."""
    if out is not None:
        checked_folder(out)
    beds = [_bed(text) for text in printers]
    rows = read_print_records(records) if records else ()
    wanted = read_brief(brief)
    learned = learned_for(wanted, brief, store)
    study = design(wanted, learned=learned, progress=part_of(progress, 0.0, 0.7))
    plan = plan_prints(study, beds=beds, progress=part_of(progress, 0.7, 0.95))
    if records:
        plan = by_rows(study, plan, rows, records.name, beds)
    else:
        plan, _ = with_own_prints(study, plan, brief, store, beds)
    if out is not None:
        for name, data in plan_files(study, plan).items():
            write_whole(out / name, data)
    return study, plan


def _bed(text: str) -> Bed:
    """``NAME=250 mm x 210 mm`` as a bed."""
    name, _, size = text.partition("=")
    try:
        length, width = (to_si(side.strip(), "m") for side in size.split("x"))
        if not (name.strip() and 0 < width < 5 and 0 < length < 5):
            raise UnitError(text)
    except ValueError:  # a UnitError is one
        raise InputError(
            Problem(
                "command line", "--printer", text, 'such as "small=180 mm x 180 mm"',
                "give a name, then the bed's sides with units",
            )
        ) from None  # fmt: skip
    return Bed(name.strip(), length, width)


def summary_lines(study: Study, plan: PrintPlan, out: Path | None) -> Iterator[str]:
    """The closing words."""
    yield f"{study.brief.title}: {totals(plan)}"
    yield time_words(plan)
    yield ""
    for part in plan.parts:
        each = f"{hours(part.seconds)} ± {hours(part.spread)}"
        yield (
            f"  {part.spec.quantity} x {part.spec.name:<24} {each:<24} "
            f"{1e3 * part.mass:6.1f} g  {part.reason}"
        )
    if out is not None:
        yield ""
        yield f"Plan: {out / 'print-plan.html'}"


def summary_json(plan: PrintPlan) -> str:
    """Every figure for machines."""
    low, high = plan.price
    return json.dumps(
        {
            "seconds": round(plan.seconds, 1),
            "standard_uncertainty_s": round(plan.spread, 1),
            "filament_kg": round(plan.mass, 5),
            "price": [round(low, 2), round(high, 2)],
            "energy_J": round(plan.energy),
            "too_large_for_any_bed": list(plan.too_large),
            "own_prints": plan.calibration.records,
            "own_prints_from": plan.prints,
            "plates": [
                {
                    "printer": plate.bed.name,
                    "material": plate.material,
                    "seconds": round(plate.seconds, 1),
                    "parts": [[each.piece.key, each.piece.copy] for each in plate.laid],
                }
                for plate in plan.plates
            ],
            "parts": json.loads(plan_table(plan).json_text()),
        },
        indent=1,
    )
