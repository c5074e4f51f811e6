"""Pages of the bench: HTML that needs nothing else, no script, no network."""

import base64
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from refledge.outputs import bench_words
from refledge.units import figure, show


def bench_page(template: str, **values: Any) -> str:
    """The page of one template of ``outputs/templates`` with the report's style."""
    found = _environment().get_template(template)
    return found.render(style=Markup(_template("report.css")), **values)


def image_uri(png: bytes) -> str:
    """A PNG as the source of an ``img``."""
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {"show": show, "figure": figure, "words": bench_words}
    return environment


def _template(name: str) -> str:
    folder = resources.files("refledge.outputs") / "templates"
    return (folder / name).read_text(encoding="utf-8")
