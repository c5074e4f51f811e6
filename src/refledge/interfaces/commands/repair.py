"""``refledge repair``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import say


@app.command()
def repair(
    build: Annotated[Path, typer.Argument(help="Build folder to print from.", show_default=False)],
    broke: Annotated[
        list[str] | None,
        typer.Option("--broke", help='What broke: "arm 2", "leg 1", "tray". Repeatable.'),
    ] = None,
    crash: Annotated[
        int, typer.Option("--crash", help="Number of a logged crash, instead of --broke.")
    ] = 0,
    older: Annotated[
        Path | None,
        typer.Option("--older", help="Build that the aircraft in the air was made from."),
    ] = None,
    store: Annotated[
        Path, typer.Option("--store", help="Project folder with the log.", show_default=".")
    ] = Path(),
    as_json: Annotated[
        bool, typer.Option("--json", help="Print JSON for machines, nothing else.")
    ] = False,
) -> None:
    """What to print again after a crash, from which files, how long, in which steps.

    With --older: whether new parts fit those in the air, and the least to reprint.
    """
    with translated():
        from refledge.interfaces import mending  # noqa: PLC0415 - keeps --help fast

        plan = mending.plan(build, broke or [], crash, older, store)
        say(mending.as_json(plan) if as_json else "\n".join(mending.lines(plan, build)))
