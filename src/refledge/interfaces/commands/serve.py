"""``refledge serve``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated

PORT = 8710
"""Where the workbench is found unless told otherwise: free of well-known services, our choice."""


@app.command()
def serve(
    brief: Annotated[
        Path | None,
        typer.Argument(help="The brief to work on; without one, choose or copy the example."),
    ] = None,
    port: Annotated[
        int, typer.Option("--port", min=0, max=65535, help="Port on this machine; 0 takes any.")
    ] = PORT,
    no_open: Annotated[bool, typer.Option("--no-open", help="Do not open a browser.")] = False,
) -> None:
    """Open the workbench: a page on this machine that shows the airframe while you change it."""
    with translated():
        from refledge.interfaces.web.serving import run  # noqa: PLC0415 - keeps --help fast

        run(brief, port, show=not no_open)
