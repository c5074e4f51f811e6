"""Files of the bench: each written whole under its name, or not at all."""

import os
import tempfile
from pathlib import Path

from refledge.errors import BuildError


def write_whole(path: Path, data: bytes | str) -> Path:
    """Write beside, flush, then take the name; raises BuildError, and what stood there stands."""
    raw = data.encode("utf-8") if isinstance(data, str) else data
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(raw)
                out.flush()
                os.fsync(out.fileno())
            Path(name).chmod(0o644)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BuildError(f"{path} could not be written: {reason}. Nothing was changed.") from error
    return path


def checked_folder(folder: Path) -> Path:
    """The folder, made where it is not there yet; raises BuildError before any work is done."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise BuildError(f"{folder} cannot be a folder for files: {reason}") from error
    if not os.access(folder, os.W_OK):
        raise BuildError(f"{folder} may not be written to; name another folder")
    return folder
