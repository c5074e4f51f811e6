"""Reading the user's text files: one clear error for what cannot be read."""

from pathlib import Path

from refledge.errors import InputError, Problem


def read_text(path: Path, what: str) -> str:
    """The text of a UTF-8 file, a byte-order mark taken off; raises InputError."""
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError as error:
        raise _error(path, "a name without a file", what, "check the name") from error
    except IsADirectoryError as error:
        raise _error(path, "a folder", what, "give the file in it") from error
    except UnicodeDecodeError as error:
        given = f"bytes that are not UTF-8 text, first at byte {error.start}"
        raise _error(path, given, f"{what} in UTF-8", "save it as UTF-8") from error
    except (OSError, ValueError) as error:
        given = f"a file that cannot be read: {getattr(error, 'strerror', None) or error}"
        raise _error(path, given, what, "check its name and rights") from error


def _error(path: Path, given: str, allowed: str, next_step: str) -> InputError:
    return InputError(Problem(path.name or str(path), "file", given, allowed, next_step))
