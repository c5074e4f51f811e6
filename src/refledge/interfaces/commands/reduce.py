"""``refledge reduce``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import FAILS, app, translated
from refledge.interfaces.console import say


@app.command()
def reduce(
    readings: Annotated[
        Path, typer.Argument(help="Readings of the bench, TOML or CSV.", show_default=False)
    ],
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Store to keep them in; else bench.sqlite beside them."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for a page with charts.")
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print a summary for machines, and nothing else.")
    ] = False,
) -> None:
    """Turn readings into properties with their uncertainty, and keep them.

    Exit status 1 where something grave stands against using them.
    """
    with translated():
        from refledge.interfaces import reducing  # noqa: PLC0415 - keeps --help fast

        done = reducing.run(readings, store, out)
        say(reducing.as_json(done) if as_json else "\n".join(reducing.lines(done)))
        if not done.reduction.usable:
            raise typer.Exit(FAILS)
