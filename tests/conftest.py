"""How the tests are dealt out where several workers share them."""

import pytest

from tests.dealing import dealt


@pytest.hookimpl(trylast=True)  # folders of slow tests mark theirs first
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    given = getattr(config, "workerinput", None)
    if given:
        slow = {item: _folder(item) for item in items if item.get_closest_marker("slow")}
        items[:] = dealt(items, slow, given["workercount"])


def _folder(item: pytest.Item) -> str:
    """Of tests/, or the file that stands in it."""
    return item.path.relative_to(item.config.rootpath / "tests").parts[0]
