"""The drawings of a study as files."""

from collections.abc import Callable

from refledge.outputs.drawing.arrangement import arrangement_sheet
from refledge.outputs.drawing.marks import Sheet
from refledge.outputs.drawing.pdf import pdf_bytes
from refledge.outputs.drawing.sheet import part_sheet
from refledge.outputs.drawing.svg import svg_text
from refledge.outputs.drawing.template import template_sheets
from refledge.outputs.words import material_name
from refledge.study import Study


def part_sheets(study: Study) -> tuple[Sheet, ...]:
    """One sheet for each distinct part, in the order of the parts list; the first is the whole's.

    The number of a part in the general arrangement is its place in this order.
    """
    count = len(study.parts) + 1
    return tuple(
        part_sheet(
            spec,
            study.solids[spec.key],
            study.assembly.meshes[spec.key],
            material_name(study, spec.material),
            study.brief.title,
            (number, count),
            study.version,
        )
        for number, spec in enumerate(study.parts, 2)
    )


def sheets_of(study: Study) -> tuple[Sheet, ...]:
    """The whole, drawings of all parts, then templates of the printed ones."""
    templates = [
        sheet
        for spec in study.parts
        if spec.printed
        for sheet in template_sheets(spec, study.solids[spec.key], study.brief.title)
    ]
    whole = arrangement_sheet(study, len(study.parts) + 1)
    return (whole, *part_sheets(study), *templates)


def drawing_files(
    study: Study, progress: Callable[[str], None] = lambda _what: None
) -> dict[str, bytes]:
    """Path in the build folder to content: one SVG for each sheet, all of them in one PDF."""
    progress("drawings")
    sheets = sheets_of(study)
    found = {f"drawings/{sheet.key}.svg": svg_text(sheet).encode("utf-8") for sheet in sheets}
    found["drawings.pdf"] = pdf_bytes(sheets, f"{study.brief.title}: drawings")
    return found
