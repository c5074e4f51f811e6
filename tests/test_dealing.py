"""How tests are dealt: none is lost, and every worker's share begins with slow folders, whole."""

import pytest

from tests.dealing import SECONDS, dealt

SLOW = {f"{folder} {n}": folder for folder in ("web", "browser", "verify", "new") for n in range(3)}
ITEMS = [*(f"quick {n}" for n in range(50)), *SLOW, *(f"late {n}" for n in range(39))]


def share(found: list[str], workers: int) -> list[list[str]]:
    """Runs as xdist gives them out."""
    out, left = [], list(found)
    for number in range(workers):
        size = len(left) // (workers - number)
        out.append(left[:size])
        left = left[size:]
    return out


@pytest.mark.parametrize("workers", [1, 2, 3, 8])
def test_none_is_lost_and_the_order_is_always_the_same(workers: int) -> None:
    found = dealt(ITEMS, SLOW, workers)
    assert sorted(found) == sorted(ITEMS)
    assert dealt(ITEMS, SLOW, workers) == found


@pytest.mark.parametrize("workers", [2, 3])
def test_every_share_begins_with_whole_slow_folders_of_about_equal_time(workers: int) -> None:
    times = []
    for run in share(dealt(ITEMS, SLOW, workers), workers):
        slow = [item for item in run if item in SLOW]
        assert run[: len(slow)] == slow
        folders = {SLOW[item] for item in slow}
        assert len(slow) == 3 * len(folders) > 0
        times.append(sum(SECONDS.get(folder, 10) for folder in folders))
    assert max(times) <= max(SECONDS["browser"], sum(times) / workers + SECONDS["verify"])


def test_shares_smaller_than_the_slow_tests_lose_none() -> None:
    few = [*SLOW, *(f"quick {n}" for n in range(6))]
    assert sorted(dealt(few, SLOW, 8)) == sorted(few)
    assert sorted(dealt([*SLOW], SLOW, 2)) == sorted(SLOW)
