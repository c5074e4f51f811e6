"""Pages from the templates beside this module: one environment, with names for each page."""

import base64
from functools import cache
from importlib import resources
from typing import Any

from jinja2 import Environment, FunctionLoader, StrictUndefined, Template
from markupsafe import Markup


def template(name: str, **names: Any) -> Template:
    """One of ``outputs/templates``, with what it may call by these names."""
    return _environment().get_template(name, globals=names)


def style(name: str = "report.css") -> Markup:
    """A style sheet of ``outputs/templates``, to stand inside its page."""
    return Markup(_text(name))  # our own file


def data_uri(png: bytes) -> str:
    """A PNG as the source of an ``img``."""
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")


@cache
def _environment() -> Environment:
    return Environment(
        loader=FunctionLoader(_text),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        cache_size=0,  # a template kept would keep the names it was first given
    )


@cache
def _text(name: str) -> str:
    folder = resources.files("refledge.outputs") / "templates"
    return (folder / name).read_text(encoding="utf-8")
