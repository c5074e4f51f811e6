"""Freed memory goes back to the system, with the C library that most Linux systems have."""

import subprocess
import sys
from threading import Thread, get_ident
from typing import Any

import pytest

from refledge.interfaces.web import screen
from refledge.interfaces.web.workbench import Workbench
from refledge.live.evaluate import evaluate

PROBE = """
import sys, threading
import numpy as np
import psutil

if sys.argv[1] == "set":
    from refledge.interfaces.web.memory import give_back_freed
    assert give_back_freed()
rss = lambda: psutil.Process().memory_info().rss / 2**20
del_me = np.ones(2_500_000)  # a block that is freed raises the size from which blocks are mapped
del del_me
before = rss()
large, small = [], []
for _ in range(60):
    large.append(np.ones(125_000))  # 1 MB
    small.append(np.ones(6_000))  # what stays among them
large.clear()
print(rss() - before)
"""


def kept(how: str) -> float:
    """MiB that a process holds after 60 MB have been freed in it."""
    found = subprocess.run(
        [sys.executable, "-c", PROBE, how], check=True, capture_output=True, text=True
    )
    return float(found.stdout)


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="a setting of glibc")
def test_what_is_freed_among_small_blocks_goes_back() -> None:
    assert kept("set") < 10.0
    assert kept("as it is") > 30.0, "without the setting it goes back too: it has no use here"


def test_all_solving_is_done_in_one_thread(
    bench: Workbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sparse factor let go of in another thread than its maker's is never freed (SuperLU)."""
    threads: list[int] = []

    def noted(*given: Any) -> Any:
        threads.append(get_ident())
        return evaluate(*given)

    monkeypatch.setattr(screen, "evaluate", noted)
    for number in range(3):
        wish = {"arm.depth_root": f"{30 + number} mm"}
        each = Thread(target=bench.set_dimensions, args=(wish,))
        each.start()
        each.join()
    assert len(threads) == 3
    assert len(set(threads)) == 1
    assert get_ident() not in threads
