"""``refledge log ...``: the project's logbook."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import say

logbook = typer.Typer(no_args_is_help=True, help="Flights, crashes, prints, parts: the logbook.")
app.add_typer(logbook, name="log")

_Store = Annotated[
    Path, typer.Option("--store", help="Project folder, or its bench.sqlite.", show_default=".")
]
_Date = Annotated[
    str, typer.Option("--date", help="ISO date or date and time; now where none is given.")
]
_Note = Annotated[str, typer.Option("--note", help="Anything worth saying.")]
_Json = Annotated[bool, typer.Option("--json", help="Print JSON for machines, nothing else.")]
_HERE = Path()


@logbook.command()
def flight(
    time: Annotated[str, typer.Argument(help='Time in the air, such as "12 min".')],
    note: _Note = "",
    date: _Date = "",
    store: _Store = _HERE,
) -> None:
    """One flight, or several together: it counts for every part on the aircraft."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        say(keeping.flight(store, date, time, note))


@logbook.command()
def crash(
    case: Annotated[
        str,
        typer.Argument(help="arm-tip, nose-in, flat-drop, one-leg, cartwheel or other."),
    ],
    speed: Annotated[str, typer.Option("--speed", help='If known, such as "4 m/s".')] = "",
    broke: Annotated[
        list[str] | None,
        typer.Option("--broke", help='Part, and serial if it has one: "arm A3". Repeatable.'),
    ] = None,
    cracked: Annotated[
        list[str] | None, typer.Option("--cracked", help="The same for a part that cracked.")
    ] = None,
    photo: Annotated[str, typer.Option("--photo", help="Path of a photo of the damage.")] = "",
    note: _Note = "",
    date: _Date = "",
    store: _Store = _HERE,
) -> None:
    """One crash and what it broke; broken copies with a serial come off the aircraft."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        harm = {"broken": broke or [], "cracked": cracked or []}
        say(keeping.crash(store, date, case, speed, harm, photo, note))


@logbook.command(name="print")
def printed(
    part: Annotated[str, typer.Argument(help="Part key, such as arm.")],
    time: Annotated[str, typer.Option("--time", help='Print time, such as "5.5 h".')],
    copies: Annotated[int, typer.Option("--copies", help="Copies on the bed.")] = 1,
    mass: Annotated[str, typer.Option("--mass", help='All weighed, such as "110 g".')] = "",
    material: Annotated[str, typer.Option("--material", help="Material key.")] = "",
    spool: Annotated[str, typer.Option("--spool", help="Name of the spool.")] = "",
    settings: Annotated[str, typer.Option("--settings", help="What differs from the brief.")] = "",
    serial: Annotated[
        list[str] | None, typer.Option("--serial", help="Serial of a copy. Repeatable.")
    ] = None,
    revision: Annotated[
        str, typer.Option("--revision", help="Interface revision (refledge repair shows it).")
    ] = "",
    failure: Annotated[str, typer.Option("--failure", help="Why it failed, if it did.")] = "",
    date: _Date = "",
    store: _Store = _HERE,
) -> None:
    """One print, good or failed: time, grams, spool, settings, serials."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        details = {"material": material, "spool": spool, "settings": settings,
                   "revision": revision, "failure": failure}  # fmt: skip
        say(keeping.printed(store, date, part, time, mass, copies, tuple(serial or ()), details))


@logbook.command()
def part(
    serial: Annotated[str, typer.Argument(help="Serial of the copy.")],
    kind: Annotated[str, typer.Option("--part", help="Part key, to put it on.")] = "",
    place: Annotated[str, typer.Option("--place", help='Where it sits, such as "arm 2".')] = "",
    revision: Annotated[str, typer.Option("--revision", help="Interface revision.")] = "",
    flown: Annotated[str, typer.Option("--flown", help='Flown before, such as "3 h".')] = "",
    off: Annotated[
        str, typer.Option("--off", help="Take it off: because of a crash, wear, or sound.")
    ] = "",
    inspected: Annotated[
        str | None,
        typer.Option("--inspected", help='It was looked at: what was seen, "" for sound.'),
    ] = None,
    date: _Date = "",
    store: _Store = _HERE,
) -> None:
    """Put one printed part on, take it off, or note that it was looked at."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        say(keeping.part(store, date, serial, kind, place, revision, flown, off, inspected))


@logbook.command(name="repair")
def repaired(
    kind: Annotated[str, typer.Argument(help="Part key.")],
    old: Annotated[str, typer.Option("--old", help="Serial taken off.")] = "",
    new: Annotated[str, typer.Option("--new", help="Serial put on.")] = "",
    place: Annotated[str, typer.Option("--place", help="Where it sits.")] = "",
    number: Annotated[int, typer.Option("--crash", help="Number of the crash.")] = 0,
    time: Annotated[str, typer.Option("--time", help='Time it took, such as "40 min".')] = "",
    note: _Note = "",
    date: _Date = "",
    store: _Store = _HERE,
) -> None:
    """One repair: the old copy comes off, the new one goes on."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        say(keeping.repaired(store, date, kind, old, new, place, number, time, note))


@logbook.command()
def strike(
    number: Annotated[int, typer.Argument(help="Number of the entry.")],
    why: Annotated[str, typer.Option("--why", help="What was wrong with it.")],
    store: _Store = _HERE,
) -> None:
    """Strike out a wrong entry; it stays readable in the export."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        say(keeping.strike(store, number, why))


@logbook.command()
def show(store: _Store = _HERE, as_json: _Json = False) -> None:
    """Hours, crashes, what keeps breaking, what is due to be looked at."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        say(keeping.shown(store, as_json=as_json))


@logbook.command()
def export(
    out: Annotated[Path, typer.Argument(help="Folder for the files.", show_default=False)],
    store: _Store = _HERE,
) -> None:
    """Everything as CSV, a file for each kind of entry, and as one log.json."""
    with translated():
        from refledge.interfaces import keeping  # noqa: PLC0415 - keeps --help fast

        say(keeping.exported(store, out))
