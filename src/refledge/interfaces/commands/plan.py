"""``refledge plan``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import progress_shown, say


@app.command()
def plan(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for page, table and plates.")
    ] = None,
    records: Annotated[
        Path | None,
        typer.Option("--records", help="Prints you made, CSV; else those of the log."),
    ] = None,
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Bench and log; else bench.sqlite beside the brief."),
    ] = None,
    printer: Annotated[
        list[str] | None,
        typer.Option("--printer", help='A bed to share the work, "small=180 mm x 180 mm".'),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything for machines, and nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
) -> None:
    """Plan the printing: how each part lies, how long it takes, and plates in order."""
    with translated():
        from refledge.interfaces import planning_prints  # noqa: PLC0415 - keeps --help fast

        with progress_shown(quiet=quiet or as_json) as progress:
            study, found = planning_prints.run(brief, out, records, printer or [], progress, store)
        say(
            planning_prints.summary_json(found)
            if as_json
            else "\n".join(planning_prints.summary_lines(study, found, out))
        )
        if found.too_large:
            raise typer.Exit(1)
