"""The page of ``refledge layouts``: one HTML file that needs nothing else."""

from functools import cache
from importlib import resources

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from refledge import __version__
from refledge.choosing.compare import Comparison
from refledge.flight.turns import split_kind
from refledge.outputs import flying_words, layouts_words
from refledge.outputs.layouts_chart import layouts_chart
from refledge.outputs.words import CAUTIONS
from refledge.units import figure, show


def layouts_html(comparison: Comparison) -> str:
    """The page as text."""
    return (
        _environment()
        .get_template("layouts.html")
        .render(
            comparison=comparison,
            brief=comparison.brief,
            finalists=comparison.finalists,
            chart=Markup(layouts_chart(comparison)),
            style=Markup(_template("report.css")),
            version=__version__,
            caution=CAUTIONS[-1][1],
        )
    )


@cache
def _environment() -> Environment:
    environment = Environment(
        loader=FunctionLoader(_template),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.globals |= {
        "show": show,
        "figure": figure,
        "words": layouts_words,
        "flight": flying_words,
        "split_kind": split_kind,
    }
    return environment


def _template(name: str) -> str:
    folder = resources.files("refledge.outputs") / "templates"
    return (folder / name).read_text(encoding="utf-8")
