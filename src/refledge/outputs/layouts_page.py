"""The page of ``refledge layouts``: one HTML file that needs nothing else."""

from markupsafe import Markup

from refledge import __version__
from refledge.choosing.compare import Comparison
from refledge.flight.turns import split_kind
from refledge.outputs import flying_words, layouts_words
from refledge.outputs.layouts_chart import layouts_chart
from refledge.outputs.pages import style, template
from refledge.outputs.words import CAUTIONS
from refledge.units import figure, show


def layouts_html(comparison: Comparison) -> str:
    """The page as text."""
    return template(
        "layouts.html",
        show=show,
        figure=figure,
        words=layouts_words,
        flight=flying_words,
        split_kind=split_kind,
    ).render(
        comparison=comparison,
        brief=comparison.brief,
        finalists=comparison.finalists,
        chart=Markup(layouts_chart(comparison)),
        style=style(),
        version=__version__,
        caution=CAUTIONS[-1][1],
    )
