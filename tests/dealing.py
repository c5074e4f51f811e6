"""The order of tests from which ``--dist worksteal`` gives every worker its share.

Shares are equal runs of the list; who is done takes from the end of another's. So every run begins
with slow tests, whole folders of them for what their tests share, about as long as the other's, and
ends with quick ones, which divide evenly.
"""

from collections.abc import Mapping, Sequence
from typing import TypeVar

Item = TypeVar("Item")
SECONDS = {
    "browser": 210, "analysis": 160, "web": 120, "interfaces": 95, "geometry": 80,
    "test_study.py": 79, "verify": 65, "choosing": 50, "test_readme.py": 48, "outputs": 40,
    "verification": 38, "planning": 35, "repair": 27, "test_starter_design.py": 25, "shaping": 25,
}  # fmt: skip
"""s of processor that slow tests took, measured in November 2026; others count as ``LITTLE``."""
LITTLE = 10


def dealt(items: Sequence[Item], slow: Mapping[Item, str], workers: int) -> list[Item]:
    """All of ``items`` in another order. slow: slow ones with the folder that they stand in."""
    quick = [item for item in items if item not in slow]
    found: list[Item] = []
    left = len(items)
    for number, first in enumerate(_shares(slow, workers)):
        size = left // (workers - number)  # as xdist counts
        room = max(0, size - len(first))
        found += [*first, *quick[:room]]
        quick, left = quick[room:], left - size
    return found


def _shares(slow: Mapping[Item, str], workers: int) -> list[list[Item]]:
    """Longest folder first to who has least."""
    shares: list[list[Item]] = [[] for _ in range(workers)]
    time = [0] * workers
    for folder in sorted(set(slow.values()), key=lambda each: (-SECONDS.get(each, LITTLE), each)):
        least = time.index(min(time))
        time[least] += SECONDS.get(folder, LITTLE)
        shares[least] += [item for item, own in slow.items() if own == folder]
    return shares
