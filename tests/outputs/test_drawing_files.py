"""Drawings as files: true to size, with every text; templates at one to one."""

import io
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader

from refledge.geometry.kernel import (
    box,
    cone,
    cut,
)
from refledge.outputs.drawing import drawing_files, sheets_of
from refledge.outputs.drawing.lettering import settable
from refledge.outputs.drawing.marks import Line
from refledge.outputs.drawing.pdf import POINTS, pdf_bytes
from refledge.outputs.drawing.svg import svg_text
from refledge.outputs.drawing.template import RULER, template_sheets
from refledge.study import Study
from tests.outputs.drawing_parts import bracket, leaving, overlaps, spec_of
from tests.outputs.test_drawing import SVG, sheet_of, words


def test_svg_is_true_to_size_and_has_every_text() -> None:
    sheet = sheet_of(bracket())
    root = ET.fromstring(svg_text(sheet))
    assert (root.get("width"), root.get("height")) == (f"{sheet.wide:g}mm", f"{sheet.high:g}mm")
    assert root.get("viewBox") == f"0 0 {sheet.wide:g} {sheet.high:g}"
    found = [element.text for element in root.iter(f"{SVG}text")]
    assert found == [settable(w) for w in words(sheet)]
    assert re.search(r"\.hidden\{stroke-dasharray:3 0\.75;", svg_text(sheet))


def test_pdf_pages_are_as_large_as_their_sheets_and_readable() -> None:
    sheets = [sheet_of(bracket()), sheet_of(box((0, 0, 0), (0.4, 0.2, 0.05)))]
    data = pdf_bytes(sheets, "two")
    assert data == pdf_bytes(sheets, "two")
    pages = PdfReader(io.BytesIO(data)).pages
    assert len(pages) == 2
    for page, sheet in zip(pages, sheets, strict=True):
        assert float(page.mediabox.width) == pytest.approx(sheet.wide * POINTS)
        text = page.extract_text()
        assert "General tolerance ISO 2768-1 m" in text
        assert "2 off; PETG, printed" in text


def test_templates_are_at_one_to_one_with_a_ruler() -> None:
    spec, _ = spec_of(bracket())
    (sheet,) = template_sheets(spec, bracket(), "test")
    lines = [m.points for m in sheet.marks if isinstance(m, Line) and m.kind == "thin"]
    spans = [np.ptp(points, axis=0) for points in lines]
    assert any(np.allclose(span, (RULER, 0)) for span in spans)
    assert any(np.allclose(span, (0, RULER)) for span in spans)
    assert any(np.allclose(span, (60, 0)) for span in spans)  # the bracket's long edge
    assert overlaps(sheet) == []
    assert leaving(sheet) == []


@pytest.mark.parametrize("shift", [0.0, 1.2345e-3, 4.4444e-3, 7.7777e-3, 9.9999e-3])
def test_a_template_has_every_line_of_the_view(shift: float) -> None:
    """Edges on the rim of the window too, wherever rounding puts them."""
    plate = box((-0.0589 - shift, -0.0624 - shift, 0), (0.0589 + shift, 0.0624 + shift / 3, 0.005))
    solid = cut(plate, cone((0, 0, -0.001), 0.0036, 0.0036, 0.007))
    (sheet,) = template_sheets(spec_of(solid)[0], solid, "test")
    sides = [
        float(np.ptp(mark.points, axis=0).max())
        for mark in sheet.marks
        if isinstance(mark, Line) and mark.kind == "thin" and len(mark.points) == 2
    ]
    wide, tall = 1e3 * (0.1178 + 2 * shift), 1e3 * (0.1248 + shift * 4 / 3)
    assert sum(np.isclose(side, wide, atol=0.02) for side in sides) == 2
    assert sum(np.isclose(side, tall, atol=0.02) for side in sides) == 2


def test_a_long_part_is_drawn_in_windows_that_hold_every_hole() -> None:
    long = box((0, -0.01, 0), (0.6, 0.01, 0.004))
    drills = [cone((x, 0, -0.001), 0.003, 0.003, 0.006) for x in np.linspace(0.01, 0.59, 12)]
    solid = cut(long, *drills)
    sheets = template_sheets(spec_of(solid)[0], solid, "test")
    marks = [m for sheet in sheets for m in sheet.marks if isinstance(m, Line)]
    spans = [np.ptp(m.points, axis=0) for m in marks if m.kind == "thin"]
    crosses = sum(1 for span in spans if np.allclose(span, (6, 0)))
    assert crosses >= 12
    assert all(leaving(sheet) == [] and overlaps(sheet) == [] for sheet in sheets)


def test_every_part_of_a_study_has_a_drawing_and_a_template(study: Study) -> None:
    files = drawing_files(study)
    for spec in study.parts:
        assert f"drawings/{spec.key}.svg" in files
    assert "drawings/template-upper_plate-1.svg" in files
    for sheet in sheets_of(study):
        assert overlaps(sheet) == []
        assert leaving(sheet) == []


def test_built_drawings_are_listed_in_one_pdf(built: Path) -> None:
    count = len(list((built / "drawings").glob("*.svg")))
    assert len(PdfReader(built / "drawings.pdf").pages) == count
