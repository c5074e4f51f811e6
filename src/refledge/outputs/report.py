"""The report: one HTML page that needs nothing else, no script, no network."""

import base64
from collections.abc import Mapping
from functools import cache
from importlib import resources

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

from refledge.model.checks import Verdict
from refledge.outputs import bench_words, flying_words, words
from refledge.outputs.printed import foot_notes
from refledge.outputs.tables import turn_words
from refledge.study import Study
from refledge.units import figure, show
from refledge.verify.results import Verified

_MARKS = {
    Verdict.HOLDS: ("good", "●"),
    Verdict.NARROWLY: ("near", "◐"),
    Verdict.FAILS: ("bad", "✕"),
    Verdict.UNKNOWN: ("dunno", "?"),
}


def report_html(
    study: Study,
    pictures: Mapping[str, bytes],
    drawings: Mapping[str, str],
    verified: Verified | None = None,
    *,
    planned: bool = False,
) -> str:
    """The page as text; ``pictures`` are PNG bytes and ``drawings`` SVG texts by stem.

    ``planned``: a print plan lies beside it.
    """
    images = {stem: _data_uri(data) for stem, data in pictures.items()}
    figures = {stem: Markup(text) for stem, text in drawings.items()}
    page = _environment().get_template("report.html")
    return page.render(
        study=study,
        brief=study.brief,
        images=images,
        drawings=figures,
        style=Markup(_template("report.css")),
        findings={verdict: words.findings(study, verdict) for verdict in Verdict},
        Verdict=Verdict,
        cautions=words.CAUTIONS,
        verified=verified,
        planned=planned,
        notes=(*study.notes, *foot_notes(study)),
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
        "words": words,
        "flight": flying_words,
        "bench_words": bench_words,
        "turn_words": turn_words,
        "mark": lambda verdict: _MARKS[verdict],
    }
    return environment


def _template(name: str) -> str:
    folder = resources.files("refledge.outputs") / "templates"
    return (folder / name).read_text(encoding="utf-8")


def _data_uri(png: bytes) -> str:
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")
