"""The command line: one verb for each step of the job."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from refledge import __version__
from refledge.errors import InputError, RefledgeError
from refledge.interfaces.console import progress_shown, say, trouble

HOLDS, FAILS, WRONG_INPUT, STOPPED, OUR_FAULT = 0, 1, 2, 130, 70
_TRACE = "REFLEDGE_TRACEBACK"

app = typer.Typer(
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    help="From a brief (what is left of a wreck, a printer, a job to do) to a checked, "
    "printable multirotor airframe.",
    epilog="Exit status: 0 every check holds, 1 some fail or cannot be answered, "
    "2 the input is wrong.",
)


def main() -> None:
    """Run the command line; never ends in a traceback unless REFLEDGE_TRACEBACK is set."""
    try:
        app()
    except KeyboardInterrupt:
        trouble("Stopped.")
        sys.exit(STOPPED)
    except Exception as error:
        if os.environ.get(_TRACE):
            raise
        trouble(
            f"Refledge itself went wrong: {type(error).__name__}: {error}",
            f"This is a fault of the program. Set {_TRACE}=1 to see where.",
        )
        sys.exit(OUR_FAULT)


@contextmanager
def _translated() -> Iterator[None]:
    """Turn what Refledge raises on purpose into messages and exit statuses."""
    try:
        yield
    except InputError as error:
        trouble(*(str(problem) for problem in error.problems))
        raise typer.Exit(WRONG_INPUT) from None
    except RefledgeError as error:
        trouble(str(error))
        raise typer.Exit(FAILS) from None
    except KeyboardInterrupt:
        trouble("Stopped. A build that stood there before still stands.")
        raise typer.Exit(STOPPED) from None


def _version(wanted: bool) -> None:
    if wanted:
        say(f"refledge {__version__}")
        raise typer.Exit


@app.callback()
def _top(
    version: Annotated[
        bool,
        typer.Option("--version", help="Show the version and stop.", callback=_version),
    ] = False,
) -> None:
    """Refledge."""


@app.command()
def new(
    file: Annotated[Path, typer.Argument(help="Where to write the brief.")] = Path("brief.toml"),
    force: Annotated[bool, typer.Option("--force", help="Write over a file there.")] = False,
) -> None:
    """Write a commented starter brief to fill in."""
    with _translated():
        from refledge.interfaces.starting import write_starter  # noqa: PLC0415 - keeps --help fast

        write_starter(file, force=force)
        say(f"Wrote {file}. Fill in what you have, then: refledge design {file} --out build")


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
) -> None:
    """Design, check and draw the airframe that a brief asks for."""
    with _translated():
        _design(brief, out, as_json=as_json, quiet=quiet, solids=verify)


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
    with _translated():
        _design(build / "brief.toml", build, as_json=as_json, quiet=quiet, solids=True)


def _design(brief: Path, out: Path, *, as_json: bool, quiet: bool, solids: bool) -> None:
    from refledge.interfaces import designing  # noqa: PLC0415 - keeps --help fast

    with progress_shown(quiet=quiet or as_json) as progress:
        study, report = designing.run(brief, out, progress, solids=solids)
    say(
        designing.summary_json(study, report)
        if as_json
        else "\n".join(designing.summary_lines(study, report))
    )
    if not designing.holds(study):
        raise typer.Exit(FAILS)
