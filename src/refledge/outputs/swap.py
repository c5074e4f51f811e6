"""Replacing a whole folder at once, so that no reader and no crash ever sees half of one.

A new build grows in a hidden folder beside the old one and changes places with it. On Linux the two
names are exchanged by one system call, so at every moment the name leads to one whole build. Where
the file system cannot do that, two renames do it; a process killed between them leaves the old
build under ``.NAME.before``, and the next write puts it back first. Against a loss of power no
promise is made: nothing is forced onto the disk.
"""

import ctypes
import errno
import fcntl
import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_AT_FDCWD = -100  # linux/fcntl.h: paths are relative to the working folder
_RENAME_EXCHANGE = 2  # linux/fs.h
_NO_EXCHANGE = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP)


@contextmanager
def replacing(target: Path) -> Iterator[Path]:
    """A fresh folder to fill; when the block ends without an error it stands in for ``target``."""
    target.parent.mkdir(parents=True, exist_ok=True)
    recover(target)
    fresh = Path(tempfile.mkdtemp(prefix=_writing(target), dir=target.parent))
    handle = os.open(fresh, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)  # tells others that this folder is not left over
        yield fresh
        fresh.chmod(0o777 & ~_umask())
        _put(fresh, target)
    finally:
        os.close(handle)
        shutil.rmtree(fresh, ignore_errors=True)


def recover(target: Path) -> None:
    """Undo what a killed process left beside ``target``."""
    before = _before(target)
    if before.exists() and not target.exists():
        before.rename(target)
    shutil.rmtree(before, ignore_errors=True)
    for left in target.parent.glob(f"{_writing(target)}*"):
        if _abandoned(left):
            shutil.rmtree(left, ignore_errors=True)


def _put(fresh: Path, target: Path) -> None:
    """``fresh`` takes the place of ``target``; what stood there ends up at ``fresh``."""
    if not target.exists():
        fresh.rename(target)
    elif not exchange(fresh, target):
        before = _before(target)
        target.rename(before)
        fresh.rename(target)
        shutil.rmtree(before, ignore_errors=True)


def exchange(one: Path, other: Path) -> bool:
    """Two names change places in one step; False where the system cannot."""
    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    first, second = os.fsencode(one), os.fsencode(other)
    if call(_AT_FDCWD, first, _AT_FDCWD, second, _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NO_EXCHANGE:
        return False
    raise OSError(number, os.strerror(number), str(other))


def _abandoned(folder: Path) -> bool:
    """No living process holds the folder's lock."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    finally:
        os.close(handle)
    return True


def _writing(target: Path) -> str:
    return f".{target.name}.writing-"


def _before(target: Path) -> Path:
    return target.with_name(f".{target.name}.before")


def _umask() -> int:
    now = os.umask(0o022)
    os.umask(now)
    return now
