"""The folder of ``refledge layouts``: page, tables, everything as JSON."""

import json
from pathlib import Path

from refledge import __version__
from refledge.choosing.compare import Comparison
from refledge.outputs.layouts_page import layouts_html
from refledge.outputs.layouts_tables import finalists_table, front_table
from refledge.outputs.layouts_words import gains, gives_up, left_out, notes
from refledge.outputs.record import plain
from refledge.typed import Json
from refledge.whole import write_whole

RECORD = "layouts.json"
PAGE = "layouts.html"


def write_layouts(comparison: Comparison, folder: Path) -> Path:
    """All files into ``folder``, each whole or not at all; the page's path."""
    files = {
        PAGE: layouts_html(comparison),
        "layouts.csv": finalists_table(comparison).csv_text(),
        "pareto.csv": front_table(comparison).csv_text(),
        RECORD: record_json(comparison),
    }
    for name, text in files.items():
        write_whole(folder / name, text)
    return folder / PAGE


def record_json(comparison: Comparison) -> str:
    """Finalists with every figure in SI, and what the sweep was."""
    finalists = comparison.finalists
    rows: list[Json] = []
    for each in finalists:
        row = plain(each)
        assert isinstance(row, dict)  # a dataclass is one
        row["holds"] = each.holds
        row["gains"], row["gives_up"] = (
            plain(gains(each, finalists)),
            plain(gives_up(each, finalists)),
        )
        rows.append(row)
    document: Json = {
        "schema": "refledge layouts 1",
        "version": __version__,
        "title": comparison.brief.title,
        "units": "SI: kg, m, s, W, N, rad; hours and prices as named",
        "fingerprint": comparison.candidates.grid.fingerprint,
        "swept": comparison.survey.swept,
        "hovering": comparison.survey.hovering,
        "frame_mass_law": plain(comparison.surrogate),
        "pareto": len(comparison.front.columns["candidate"]),
        "finalists": rows,
        "left_out": plain(left_out(comparison)),
        "notes": plain(notes(comparison)),
    }
    return json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n"
