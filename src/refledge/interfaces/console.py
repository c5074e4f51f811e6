"""Speaking to the person at the terminal: results on stdout, progress and trouble on stderr."""

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Progress = Callable[[str, float], None]


def say(words: str) -> None:
    """A result, on stdout."""
    print(words, flush=True)


def trouble(*lines: str) -> None:
    """What went wrong, on stderr, a line each."""
    for line in lines:
        print(line, file=sys.stderr, flush=True)


@contextmanager
def progress_shown(*, quiet: bool) -> Iterator[Progress]:
    """A bar on stderr that follows the work; nothing where ``quiet`` or not on a terminal."""
    if quiet or not sys.stderr.isatty():
        yield lambda _what, _share: None
        return
    from rich import console, progress  # noqa: PLC0415 - keeps --help fast

    columns = (
        progress.BarColumn(28),
        progress.TextColumn("{task.description}"),
        progress.TimeElapsedColumn(),
    )
    with progress.Progress(*columns, console=console.Console(stderr=True), transient=True) as bar:
        task = bar.add_task("reading", total=1.0)
        yield lambda what, share: bar.update(task, description=what, completed=share)
