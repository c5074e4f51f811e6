"""The charts of a study by file stem."""

from refledge.outputs import charts
from refledge.outputs.words import condensed, load_title
from refledge.study import Study


def drawings(study: Study) -> dict[str, str]:
    """File stem to SVG text."""
    limits = study.brief.limits
    found = {
        "reserves": charts.margins_chart([each.worst for each in condensed(study.checks)]),
        "speeds": charts.speed_chart(study.speeds, study.airframe_modes, limits.separation),
        "masses": charts.mass_chart(study.masses),
    }
    if study.alternatives:
        found["alternatives"] = charts.alternatives_chart(study.alternatives)
    for each in study.deflected:
        title = load_title(study, each.load_case)
        found[f"deflected-{each.load_case}"] = charts.deflection_chart(each, title)
    return found
