"""Which tests go first where several workers share them: the slow ones, folder by folder.

Workers take what is left of each other's share from its end (``--dist worksteal``). With the
quick tests at the end the last minutes divide evenly, and slow tests stay beside those that use
the same fixture.
"""

import pytest

FIRST = ("browser", "web", "verify", "shaping", "interfaces", "grown", "choosing", "planning")
"""Folders whose slow tests share what takes longest to make, by their time."""


@pytest.hookimpl(trylast=True)  # folders of slow tests mark theirs first
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if hasattr(config, "workerinput"):
        items.sort(key=_place)


def _place(item: pytest.Item) -> int:
    """Folders of FIRST, other slow tests, quick tests; as they were within each."""
    if item.get_closest_marker("slow") is None:
        return len(FIRST) + 1
    folder = item.path.relative_to(item.config.rootpath / "tests").parts[0]
    return FIRST.index(folder) if folder in FIRST else len(FIRST)
