"""Memory that is let go of goes back to the system: a server does not grow with its edits."""

import ctypes
from collections.abc import Mapping
from contextlib import suppress
from types import MappingProxyType

TRIM_THRESHOLD, MMAP_THRESHOLD, ARENA_MAX = -1, -3, -8
"""Names of glibc's settings (malloc.h; mallopt(3), Linux manual pages)."""
SETTINGS: Mapping[int, int] = MappingProxyType(
    {MMAP_THRESHOLD: 128 * 1024, TRIM_THRESHOLD: 128 * 1024, ARENA_MAX: 2}
)
"""Both sizes, bytes, are what glibc begins with. It raises them by itself, up to 32 MiB, as soon as
a large block is freed: solids that follow an edit are such, and from then on they lie among small
blocks that hold their pages. Set once, they stay. Two heaps do for the threads of one server: each
keeps what it has once needed."""


def give_back_freed() -> bool:
    """Have freed memory go back; False where the C library is another than glibc, and all stays
    as that library does it."""
    with suppress(OSError, AttributeError, TypeError):
        mallopt = ctypes.CDLL(None).mallopt
        return all(mallopt(name, value) == 1 for name, value in SETTINGS.items())
    return False
