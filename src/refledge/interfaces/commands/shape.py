"""``refledge shape``."""

from pathlib import Path
from typing import Annotated

import typer

from refledge.interfaces.app import app, translated
from refledge.interfaces.console import progress_shown, say


@app.command()
def shape(
    brief: Annotated[Path, typer.Argument(help="A brief, or a build folder.", show_default=False)],
    part: Annotated[str, typer.Option("--part", help="What to grow: arm.")] = "arm",
    out: Annotated[
        Path, typer.Option("--out", help="Folder for the page, the figures and the files to print.")
    ] = Path("shape"),
    voxel: Annotated[str, typer.Option("--voxel", help="Edge of a voxel.")] = "1 mm",
    iterations: Annotated[
        int, typer.Option("--iterations", min=5, max=1000, help="Design steps at most.")
    ] = 30,
    device: Annotated[
        str, typer.Option("--device", help="cpu, gpu, or auto for whichever is there.")
    ] = "cpu",
    goal: Annotated[
        str,
        typer.Option("--goal", help="stiffness at the present mass, or least mass within limits."),
    ] = "stiffness",
    mass: Annotated[
        str,
        typer.Option(
            "--mass",
            show_default=False,
            help="What the stiffest arm may weigh, solid, such as 95 g; as much as the present arm "
            "if not given.",
        ),
    ] = "",
    support_free: Annotated[
        bool, typer.Option("--support-free", help="Let nothing lean past 45 degrees.")
    ] = False,
    strength: Annotated[
        bool,
        typer.Option(
            "--strength/--no-strength",
            help="Keep the use of strength low while growing; without, stiffness alone.",
        ),
    ] = True,
    store: Annotated[
        Path | None,
        typer.Option("--store", help="Project folder with the bench; else beside the brief."),
    ] = None,
    solids: Annotated[
        bool,
        typer.Option("--verify", help="Solve both arms again as printed: layers, walls, infill."),
    ] = False,
    rounds: Annotated[
        int | None,
        typer.Option(
            "--rounds",
            min=1,
            max=20,
            show_default=False,
            help="With --verify: growths at most until the airframe with the arm holds; 6 if not "
            "given.",
        ),
    ] = None,
    as_json: Annotated[
        bool, typer.Option("--json", help="Print JSON for machines, nothing else.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="Show no progress.")] = False,
) -> None:
    """Grow an arm between its bolts by topology optimisation, ready to print.

    Work is kept in the folder: run the same again to go on. One interrupt keeps the best so far.
    """
    with translated():
        from refledge.interfaces import shaping  # noqa: PLC0415 - keeps --help fast

        wish = shaping.asked(
            part, voxel, iterations, device, goal,
            mass=mass, support_free=support_free, strength=strength,
        )  # fmt: skip
        most = shaping.rounds_asked(rounds, solids=solids)
        with progress_shown(quiet=quiet or as_json) as progress:
            found = shaping.run(brief, wish, out, store, progress, rounds=most)
            written = shaping.write(found, out)
        say(shaping.as_json(found, out) if as_json
            else "\n".join([*shaping.lines(found), "", *map(str, written), "",
                            *shaping.use_lines(found, out)]))  # fmt: skip
