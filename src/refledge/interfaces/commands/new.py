"""``refledge new``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import say


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="Where to write the brief.")] = Path("brief.toml"),
    force: Annotated[bool, typer.Option("--force", help="Write over a file there.")] = False,
) -> None:
    """Write a commented starter brief to fill in."""
    with translated():
        from refledge.interfaces.starting import write_starter  # noqa: PLC0415 - keeps --help fast

        write_starter(file, force=force)
        say(f"Wrote {file}. Fill in what you have, then: refledge design {file} --out build")
