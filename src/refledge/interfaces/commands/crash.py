"""``refledge crash``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import progress_shown, say


@app.command()
def crash(
    brief: Annotated[Path, typer.Argument(help="A brief, or a build folder.", show_default=False)],
    out: Annotated[
        Path | None, typer.Option("--out", help="Folder for crash.html and crash.json.")
    ] = None,
    speed: Annotated[str, typer.Option("--speed", help="Median speed of impact.")] = "5 m/s",
    samples: Annotated[
        int, typer.Option("--samples", min=20, max=100_000, help="Crashes of each of five kinds.")
    ] = 400,
    link: Annotated[
        str,
        typer.Option("--weak-link", help="Try this weak link, not the brief's: arm, leg, bolt."),
    ] = "",
    flying: Annotated[
        str, typer.Option("--flying", help="Time flown before more can be printed.")
    ] = "5 h",
    service: Annotated[
        str, typer.Option("--service", help="Chance wanted that no spare is missing.")
    ] = "90 %",
    seed: Annotated[int, typer.Option("--seed", min=0, help="Of the random numbers.")] = 1,
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Project folder with the log; else beside the brief."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print JSON for machines, nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
) -> None:
    """What breaks first in a crash, how often, what to keep in stock.

    The frame is designed again from its brief, then crashed on the computer many times.
    """
    with translated():
        from refledge.interfaces import crashing  # noqa: PLC0415 - keeps --help fast

        asked = crashing.asked(speed, samples, link, flying, service, seed)
        crashing.refuse_build(out)
        with progress_shown(quiet=quiet or as_json) as progress:
            study, found = crashing.run(brief, asked, store, progress)
            written = crashing.write(study, found, out) if out else ()
        say(crashing.as_json(study, found) if as_json
            else "\n".join([*crashing.lines(found), *map(str, written)]))  # fmt: skip
