"""``refledge coupon``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import progress_shown, say


@app.command()
def coupon(
    keys: Annotated[
        list[str] | None,
        typer.Argument(metavar="[KEY]...", help="Pieces to make; none lists them all."),
    ] = None,
    out: Annotated[Path, typer.Option("--out", help="Folder for the files.")] = Path("pieces"),
    material: Annotated[str, typer.Option("--material", help="Material key, as PETG.")] = "",
    screw: Annotated[
        str, typer.Option("--screw", help="Thread of insert block and fit piece.")
    ] = "M3",
    brief: Annotated[
        Path | None,
        typer.Option("--brief", help="Brief or build folder: the short arm's, and the bed's size."),
    ] = None,
    arm: Annotated[
        str, typer.Option("--arm", help="Short arm of another family: box, channel, truss.")
    ] = "",
    span: Annotated[
        str, typer.Option("--span", help='Free span of the short arm, as "120 mm"; else whole.')
    ] = "",
    load: Annotated[
        str, typer.Option("--load", help="Weight that the arm's deflection is predicted for.")
    ] = "500 g",
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Store for predictions; else bench.sqlite by the brief."),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print a summary for machines, and nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
) -> None:
    """Make test pieces: files to print, a page on how to test, a form for the readings."""
    with translated():
        from refledge.interfaces import coupons  # noqa: PLC0415 - keeps --help fast

        if not keys:
            say("\n".join(coupons.catalogue()))
            return
        order = coupons.Order(
            keys=tuple(keys), out=out, material=material, screw=screw, brief=brief, family=arm,
            span=span, load=load, store=store,
        )  # fmt: skip
        with progress_shown(quiet=quiet or as_json) as progress:
            made = coupons.run(order, progress)
        say(coupons.as_json(made) if as_json else "\n".join(coupons.lines(made, out)))
