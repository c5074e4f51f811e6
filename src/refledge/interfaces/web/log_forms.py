"""What can be written into the log from the page: each form goes where ``refledge log`` goes."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from refledge.errors import InputError
from refledge.interfaces import keeping
from refledge.interfaces.bench_options import wrong
from refledge.interfaces.web.crash_options import at_page
from refledge.interfaces.web.refusals import RequestError
from refledge.model.fields import infos
from refledge.model.logbook import (
    CASES,
    Crash,
    Damage,
    Fitted,
    Flight,
    Inspected,
    Print,
    Removed,
    Repair,
    Struck,
)

Values = Mapping[str, str]
Write = Callable[[Path, Values], str]


@dataclass(frozen=True)
class Slot:
    """One value of a form."""

    name: str
    label: str
    example: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    of: str = ""
    """part or serial where the page can offer those it knows; else empty."""


@dataclass(frozen=True)
class Form:
    """One kind of entry."""

    title: str
    about: str
    slots: tuple[Slot, ...]
    write: Write


def _said(model: type[Any], field: str) -> str:
    """The meaning of a field, as the model states it."""
    return infos(model)[field].meaning


def write_entry(store: Path, form: str, values: Values) -> str:
    """Write one entry; what was written, in words.

    Raises RequestError for a wrong form, InputError for a wrong value, StoreError where the log
    does not allow the entry.
    """
    if form not in FORMS:
        raise RequestError(f"the log has no form {form[:40]!r}; it has {', '.join(FORMS)}")
    known = {slot.name for slot in FORMS[form].slots} | {"date"}
    extra = sorted(set(values) - known)
    if extra:
        raise RequestError(f"unknown values: {', '.join(extra)[:200]}")
    given = {name: text.strip() for name, text in values.items() if text.strip()}
    try:
        _complete(FORMS[form], given)
        return FORMS[form].write(store, _Given(given))
    except InputError as error:
        raise at_page(error) from error


class _Given(dict[str, str]):
    """What was given; an empty text for what was not."""

    def __missing__(self, name: str) -> str:
        return ""


def _complete(form: Form, given: Values) -> None:
    missing = next((s for s in form.slots if s.required and s.name not in given), None)
    if missing is not None:
        raise wrong(missing.name, "nothing", f"{missing.label}, such as {missing.example}"
                    if missing.example else missing.label, "write it")  # fmt: skip


def _whole(values: Values, name: str, default: int) -> int:
    text = values[name]
    if not text:
        return default
    if not text.isdigit():
        raise wrong(name, f'"{text}"', "a whole number", "write digits only")
    return int(text)


def _list(text: str) -> tuple[str, ...]:
    """``arm A3, leg`` to its parts."""
    return tuple(each.strip() for each in text.split(",") if each.strip())


def _flight(store: Path, v: Values) -> str:
    return keeping.flight(store, v["date"], v["time"], v["note"])


def _crash(store: Path, v: Values) -> str:
    harm = {"broken": _list(v["broke"]), "cracked": _list(v["cracked"])}
    return keeping.crash(store, v["date"], v["case"], v["speed"], harm, v["photo"], v["note"])


def _print(store: Path, v: Values) -> str:
    names = ("material", "spool", "settings", "revision", "failure")
    details = {name: v[name] for name in names}
    copies = _whole(v, "copies", 1)
    return keeping.printed(store, v["date"], v["part"], v["time"], v["mass"], copies,
                           _list(v["serial"]), details)  # fmt: skip


def _on(store: Path, v: Values) -> str:
    return keeping.part(store, v["date"], v["serial"], v["part"], v["place"], v["revision"],
                        v["flown"], "", None)  # fmt: skip


def _off(store: Path, v: Values) -> str:
    return keeping.part(store, v["date"], v["serial"], "", "", "", "", v["why"], None)


def _look(store: Path, v: Values) -> str:
    return keeping.part(store, v["date"], v["serial"], "", "", "", "", "", v["finding"])


def _repair(store: Path, v: Values) -> str:
    return keeping.repaired(store, v["date"], v["part"], v["old"], v["new"], v["place"],
                            _whole(v, "crash", 0), v["time"], v["note"])  # fmt: skip


def _strike(store: Path, v: Values) -> str:
    return keeping.strike(store, _whole(v, "number", 0), v["why"])


NOTE = Slot("note", _said(Flight, "note"))
FORMS: Mapping[str, Form] = {
    "flight": Form(
        "A flight", "One flight, or several together: it counts for every part aboard.",
        (Slot("time", _said(Flight, "seconds"), "12 min", required=True), NOTE), _flight,
    ),
    "crash": Form(
        "A crash", "One crash and what it broke; broken copies with a serial come off.",
        (
            Slot("case", _said(Crash, "case"), required=True, choices=CASES),
            Slot("speed", "speed of impact, if known", "4 m/s"),
            Slot("broke", "parts broken", "arm A3, leg", of="part"),
            Slot("cracked", "parts cracked", "mount M2", of="part"),
            Slot("photo", _said(Damage, "photo"), "a3.jpg"),
            Slot("note", _said(Crash, "note")),
        ), _crash,
    ),
    "print": Form(
        "A print", "One print, good or failed: time, grams, spool, serials.",
        (
            Slot("part", _said(Print, "part"), "arm", required=True, of="part"),
            Slot("time", _said(Print, "seconds"), "5.5 h", required=True),
            Slot("copies", _said(Print, "copies"), "1"),
            Slot("mass", "all copies weighed, with support", "110 g"),
            Slot("material", _said(Print, "material"), "PETG"),
            Slot("spool", _said(Print, "spool")),
            Slot("serial", _said(Print, "serials"), "A7, A8"),
            Slot("settings", _said(Print, "settings")),
            Slot("revision", _said(Print, "revision")),
            Slot("failure", _said(Print, "failure")),
        ), _print,
    ),
    "on": Form(
        "A part put on", "One printed copy goes on the aircraft; its hours count from here.",
        (
            Slot("serial", _said(Fitted, "serial"), "A7", required=True),
            Slot("part", _said(Fitted, "part"), "arm", required=True, of="part"),
            Slot("place", _said(Fitted, "place"), "arm 2"),
            Slot("flown", "flown before", "3 h"),
            Slot("revision", _said(Fitted, "revision")),
        ), _on,
    ),
    "off": Form(
        "A part taken off", "One copy comes off the aircraft.",
        (
            Slot("serial", _said(Removed, "serial"), "A7", required=True, of="serial"),
            Slot("why", _said(Removed, "why"), required=True, choices=("crash", "wear", "sound")),
        ), _off,
    ),
    "look": Form(
        "A look at a part", "One copy was looked at.",
        (
            Slot("serial", _said(Inspected, "serial"), "A7", required=True, of="serial"),
            Slot("finding", _said(Inspected, "finding")),
        ), _look,
    ),
    "repair": Form(
        "A repair", "The old copy comes off, the new one goes on.",
        (
            Slot("part", _said(Repair, "part"), "arm", required=True, of="part"),
            Slot("old", _said(Repair, "old"), "A3", of="serial"),
            Slot("new", _said(Repair, "new"), "A7"),
            Slot("place", _said(Fitted, "place"), "arm 2"),
            Slot("crash", "number of the crash, if it was one", "3"),
            Slot("time", _said(Repair, "seconds"), "40 min"),
            Slot("note", _said(Repair, "note")),
        ), _repair,
    ),
    "strike": Form(
        "Strike an entry out", "A wrong entry no longer counts; it stays readable.",
        (
            Slot("number", _said(Struck, "number"), "12", required=True),
            Slot("why", _said(Struck, "why"), required=True),
        ), _strike,
    ),
}  # fmt: skip
