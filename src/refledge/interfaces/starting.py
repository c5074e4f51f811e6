"""What ``refledge new`` does."""

from pathlib import Path

from refledge.errors import InputError, Problem
from refledge.inputs.starter import starter_text
from refledge.whole import reason, write_whole


def write_starter(file: Path, *, force: bool) -> None:
    """Write the starter brief; a file that stands there is kept unless ``force``."""
    if force:
        write_whole(file, starter_text())
        return
    try:
        with file.open("x", encoding="utf-8") as out:
            out.write(starter_text())
    except FileExistsError:
        raise _refused(
            file, "a file that exists", "name another file, or add --force to write over it"
        ) from None
    except OSError as error:
        step = "name a file in a folder that you may write to"
        raise _refused(file, reason(error), step) from error


def _refused(file: Path, given: str, next_step: str) -> InputError:
    return InputError(Problem(str(file), "FILE", given, "a new file", next_step))
