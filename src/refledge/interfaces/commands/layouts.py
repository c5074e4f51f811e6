"""``refledge layouts``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import FAILS, app, translated
from refledge.interfaces.console import progress_shown, say


@app.command()
def layouts(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    out: Annotated[
        Path | None,
        typer.Option("--out", help="Folder for page, tables and sweep; found chunks are kept."),
    ] = None,
    also: Annotated[
        Path | None,
        typer.Option("--also", help="Motors, propellers and packs to try too, TOML or CSV."),
    ] = None,
    choose: Annotated[
        str, typer.Option("--choose", help="Write the brief with this finalist, by its letter.")
    ] = "",
    to: Annotated[
        Path | None, typer.Option("--to", help="Where --choose writes; else beside the brief.")
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Let --choose write over a file.")] = False,
    finalists: Annotated[
        int, typer.Option("--finalists", min=1, max=26, help="Frames sized in full, at most.")
    ] = 6,
    jobs: Annotated[int, typer.Option("--jobs", min=1, help="Processes to sweep and size in.")] = 1,
    scheduler: Annotated[
        str, typer.Option("--scheduler", help="A Dask scheduler to sweep on, tcp://HOST:PORT.")
    ] = "",
    store: Annotated[
        Path | None,
        typer.Option("--store", help="What the bench taught; else bench.sqlite beside the brief."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print everything for machines, and nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
) -> None:
    """Compare layouts, propellers and packs: what each gives and what it gives up.

    Exit status 0 where at least one finalist keeps every limit and wish of the brief.
    """
    with translated():
        from refledge.interfaces import laying_out  # noqa: PLC0415 - keeps --help fast

        asked = laying_out.Asked(brief, also, out, jobs, scheduler, finalists, store)
        if choose:
            with progress_shown(quiet=quiet or as_json) as progress:
                files = laying_out.choose(asked, choose, to, progress, force=force)
            say(laying_out.chosen_words(files, as_json=as_json))
            return
        with progress_shown(quiet=quiet or as_json) as progress:
            found, page = laying_out.run(asked, progress)
        say(
            laying_out.summary_json(found, page)
            if as_json
            else "\n".join(laying_out.summary_lines(found, page))
        )
        if not laying_out.holds(found):
            raise typer.Exit(FAILS)
