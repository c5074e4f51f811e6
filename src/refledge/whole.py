"""Files written whole: a reader finds the old one or the new one, never half of it."""

import errno
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, Final

from refledge.errors import BuildError

_RIGHTS = 0o644
_UNWRITTEN: Final = {
    errno.EACCES: "no permission to write there",
    errno.EPERM: "no permission to write there",
    errno.EROFS: "the disk is read-only",
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "your share of the disk is used up",
    errno.ENAMETOOLONG: "the name is too long",
    errno.ENOTDIR: "a file stands where a folder is needed",
}


@contextmanager
def written_whole(path: Path) -> Iterator[BinaryIO]:
    """An open file beside ``path`` that takes its name when the block ends well.

    A link is followed, so that the file it leads to is the one replaced, and that file's rights
    are kept. Folders are made. Raises BuildError where it cannot be written; whatever ends the
    block, what stood there stands and nothing is left beside it.
    """
    try:
        target = path.resolve()
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=target.parent)
        fresh = Path(name)
        try:
            with os.fdopen(handle, "wb") as out:
                yield out
                out.flush()
                os.fsync(out.fileno())
            fresh.chmod(target.stat().st_mode & 0o777 if target.exists() else _RIGHTS)
            fresh.replace(target)
        except BaseException:
            with suppress(OSError):
                fresh.unlink()
            raise
    except OSError as error:
        raise unwritten(path, error) from error


def write_whole(path: Path, data: bytes | str) -> Path:
    """Bytes, or text as UTF-8, as the file ``path``; see ``written_whole``."""
    with written_whole(path) as out:
        out.write(data.encode("utf-8") if isinstance(data, str) else data)
    return path


def checked_folder(folder: Path) -> Path:
    """The folder, made where it is not there yet; raises BuildError before any work is done."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BuildError(f"{folder} cannot be a folder for files: {_why(error)}") from error
    if not os.access(folder, os.W_OK):
        raise BuildError(f"{folder} may not be written to; name another folder")
    return folder


def unwritten(path: Path, error: OSError) -> BuildError:
    """To be raised where the system refused to write and what stood there stands."""
    why = _why(error)
    return BuildError(f"{path} could not be written: {why}. Nothing was changed.")


def _why(error: OSError) -> str:
    return _UNWRITTEN.get(error.errno or 0, reason(error))


def reason(error: OSError) -> str:
    """What the system says, within a sentence."""
    return (error.strerror or str(error)).lower()
