"""``refledge tap`` and ``refledge vibration``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import FAILS, app, translated
from refledge.interfaces.console import say

_Against = Annotated[
    Path | None, typer.Option("--against", help="Build folder, or its study.json, to compare with.")
]
_Out = Annotated[Path | None, typer.Option("--out", help="Folder for a page with charts.")]
_Json = Annotated[
    bool, typer.Option("--json", help="Print a summary for machines, and nothing else.")
]


@app.command()
def tap(
    recording: Annotated[
        Path, typer.Argument(help="Taps recorded: WAV, or CSV of acceleration.", show_default=False)
    ],
    against: _Against = None,
    modes: Annotated[
        str, typer.Option("--modes", help="Modes of the build to compare: arm or airframe.")
    ] = "arm",
    predicted: Annotated[
        str, typer.Option("--predicted", help="Name under which the piece was predicted.")
    ] = "",
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Store of predictions; else bench.sqlite beside the file."),
    ] = None,
    out: _Out = None,
    as_json: _Json = False,
) -> None:
    """Hear natural frequencies and damping in taps, and compare them with the predicted modes.

    Exit status 1 where the recording is doubtful or a mode lies off its prediction.
    """
    with translated():
        from refledge.interfaces import tapping  # noqa: PLC0415 - keeps --help fast

        wanted = tapping.Wanted(
            recording=recording, against=against, modes=modes, predicted=predicted, store=store,
            out=out,
        )  # fmt: skip
        done = tapping.tap(wanted)
        say(tapping.as_json(done) if as_json else "\n".join(tapping.tapped_lines(done)))
        if not done.holds:
            raise typer.Exit(FAILS)


@app.command()
def vibration(
    log: Annotated[
        Path,
        typer.Argument(help="CSV: time, x, y, z, perhaps rpm or throttle.", show_default=False),
    ],
    against: _Against = None,
    modes: Annotated[
        str, typer.Option("--modes", help="Modes of the build to compare: arm or airframe.")
    ] = "airframe",
    blades: Annotated[int, typer.Option("--blades", help="Blades of one propeller.")] = 2,
    out: _Out = None,
    as_json: _Json = False,
) -> None:
    """Tell in a spin-up or flight log what shakes: rotors, blade pass, or a mode of the frame."""
    with translated():
        from refledge.interfaces import tapping  # noqa: PLC0415 - keeps --help fast

        wanted = tapping.Wanted(
            recording=log, against=against, modes=modes, predicted="", store=None, out=out,
            blades=blades,
        )  # fmt: skip
        done = tapping.shake(wanted)
        say(tapping.as_json(done) if as_json else "\n".join(tapping.shaken_lines(done)))
        if not done.holds:
            raise typer.Exit(FAILS)
