"""The report: one HTML page that needs nothing else, no script, no network."""

from collections.abc import Mapping

from markupsafe import Markup

from refledge.model.checks import Verdict
from refledge.outputs import bench_words, flying_words, words
from refledge.outputs.pages import data_uri, style, template
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
    images = {stem: data_uri(data) for stem, data in pictures.items()}
    figures = {stem: Markup(text) for stem, text in drawings.items()}
    page = template(
        "report.html",
        show=show,
        figure=figure,
        words=words,
        flight=flying_words,
        bench_words=bench_words,
        turn_words=turn_words,
        mark=lambda verdict: _MARKS[verdict],
    )
    return page.render(
        study=study,
        brief=study.brief,
        images=images,
        drawings=figures,
        style=style(),
        findings={verdict: words.findings(study, verdict) for verdict in Verdict},
        Verdict=Verdict,
        cautions=words.CAUTIONS,
        verified=verified,
        planned=planned,
        notes=(*study.notes, *foot_notes(study)),
    )
