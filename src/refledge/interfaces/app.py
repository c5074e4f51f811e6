"""The command line itself: exit statuses, and errors turned into words."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated

import typer

from refledge import __version__
from refledge.errors import InputError, RefledgeError, WishError
from refledge.interfaces.console import say, trouble

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
def translated() -> Iterator[None]:
    """Turn what Refledge raises on purpose into messages and exit statuses."""
    try:
        yield
    except InputError as error:
        trouble(*(str(problem) for problem in error.problems))
        raise typer.Exit(WRONG_INPUT) from None
    except WishError as error:
        trouble(str(error))
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
