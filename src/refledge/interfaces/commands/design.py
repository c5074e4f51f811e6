"""``refledge design`` and ``refledge verify``."""

from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import FAILS, app, translated
from refledge.interfaces.console import progress_shown, say


@app.command()
def design(
    brief: Annotated[Path, typer.Argument(help="The brief, a TOML file.", show_default=False)],
    out: Annotated[
        Path, typer.Option("--out", help="Folder for the build; an older build is replaced.")
    ],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print a summary for machines, and nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
    verify: Annotated[
        bool, typer.Option("--verify", help="Check every part as a solid too; takes minutes.")
    ] = False,
    store: Annotated[
        Path | None,
        typer.Option("--store", help="What the bench taught; else bench.sqlite beside the brief."),
    ] = None,
    spool: Annotated[
        list[str] | None,
        typer.Option("--spool", help='Tested spool to print, "PETG: grey 3"; else the last.'),
    ] = None,
) -> None:
    """Design, check and draw the airframe that a brief asks for."""
    with translated():
        _design(
            brief, out, as_json=as_json, quiet=quiet, solids=verify, store=store, spools=spool or ()
        )


@app.command()
def verify(
    build: Annotated[
        Path, typer.Argument(help="A build folder that design wrote.", show_default=False)
    ],
    as_json: Annotated[
        bool, typer.Option("--json", help="Print a summary for machines, and nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
) -> None:
    """Check every part of a build as a solid, and put what is found into the build.

    The build is made again from the brief that it holds.
    """
    with translated():
        _design(build / "brief.toml", build, as_json=as_json, quiet=quiet, solids=True)


def _design(
    brief: Path,
    out: Path,
    *,
    as_json: bool,
    quiet: bool,
    solids: bool,
    store: Path | None = None,
    spools: Sequence[str] = (),
) -> None:
    from refledge.interfaces import designing  # noqa: PLC0415 - keeps --help fast

    with progress_shown(quiet=quiet or as_json) as progress:
        study, report = designing.run(
            brief, out, progress, solids=solids, store=store, spools=spools
        )
    say(
        designing.summary_json(study, report)
        if as_json
        else "\n".join(designing.summary_lines(study, report))
    )
    if not designing.holds(study):
        raise typer.Exit(FAILS)
