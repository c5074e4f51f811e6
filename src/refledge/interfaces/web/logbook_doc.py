"""The project's log for the page: the sums of ``refledge log show``, every entry, the forms."""

import json
from pathlib import Path
from typing import Any

from refledge.interfaces.keeping import opened
from refledge.interfaces.web.log_forms import FORMS
from refledge.interfaces.web.wording import json_ready
from refledge.model.logbook import Logged, Struck
from refledge.outputs.log_files import history_json
from refledge.outputs.log_words import entry_words
from refledge.repair.history import history
from refledge.store import NAME


def logbook_doc(folder: Path) -> dict[str, Any]:
    """What the log in ``folder`` holds; without one only the forms that begin it."""
    forms = [_form(key) for key in FORMS]
    if not (folder / NAME).is_file():
        return {"summary": None, "entries": [], "forms": forms}
    with opened(folder, reading=True) as book:
        every = book.entries(struck=True)
        found = history(book.entries(), book.lives())
    summary = json.loads(history_json(found)) if every else None
    struck = {e.entry.number: e.entry.why for e in every if isinstance(e.entry, Struck)}
    lines = [_line(each, struck.get(each.number)) for each in reversed(every)]
    return {"summary": summary, "entries": lines, "forms": forms}


def _line(each: Logged, struck: str | None) -> dict[str, Any]:
    return {
        "number": each.number,
        "date": each.date,
        "kind": each.kind,
        "text": entry_words(each.entry),
        "struck": struck,
    }


def _form(key: str) -> dict[str, Any]:
    form = FORMS[key]
    slots = [json_ready(slot) for slot in form.slots]
    return {"key": key, "title": form.title, "about": form.about, "slots": slots}
