"""``refledge compare``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import FAILS, app, translated
from refledge.interfaces.console import say


@app.command()
def compare(
    things: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[THING]...",
            help="Material keys, readings, or build folders; none: every printed material.",
        ),
    ] = None,
    by: Annotated[
        str, typer.Option("--by", help="Index for materials: tie, beam, panel, or all.")
    ] = "all",
    calibration: Annotated[
        bool, typer.Option("--calibration", help="Hold past predictions against their tests.")
    ] = False,
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Store of the bench; else bench.sqlite in this folder."),
    ] = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for a page with charts.")
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print a summary for machines, and nothing else.")
    ] = False,
) -> None:
    """Rank materials or arms for their mass, and say how surely; of builds, whole airframes too.

    With --calibration, exit status 1 where our uncertainties have been too small.
    """
    with translated():
        from refledge.interfaces import comparing  # noqa: PLC0415 - keeps --help fast

        if calibration:
            judged = comparing.calibrate(store, out)
            lines = comparing.calibrated_lines(judged)
            say(comparing.calibrated_json(judged) if as_json else "\n".join(lines))
            if judged.found.small:
                raise typer.Exit(FAILS)
            return
        done = comparing.compare(things or (), by, store, out)
        say(comparing.compared_json(done) if as_json else "\n".join(comparing.compared_lines(done)))
