"""Pages of the bench: HTML that needs nothing else, no script, no network."""

from typing import Any

from refledge.outputs import bench_words
from refledge.outputs.pages import style, template
from refledge.units import figure, show


def bench_page(name: str, **values: Any) -> str:
    """The page of one template of ``outputs/templates`` with the report's style."""
    page = template(name, show=show, figure=figure, words=bench_words)
    return page.render(style=style(), **values)
