"""docs/brief.md is what the code makes of the fields' metadata."""

from pathlib import Path

from refledge.inputs.reference import brief_reference
from refledge.inputs.schema import fields_of
from refledge.model.brief import Brief

DOCS = Path(__file__).parents[2] / "docs" / "brief.md"


def test_docs_have_not_drifted() -> None:
    """Write it anew with ``brief_reference()`` when a field changes."""
    assert DOCS.read_text(encoding="utf-8") == brief_reference()


def test_every_field_has_its_row() -> None:
    text = brief_reference()
    for spec in fields_of(Brief):
        assert f"[{spec.name}]" in text if spec.nested else f"| `{spec.name}` |" in text
        for inner in fields_of(spec.model) if spec.nested else ():
            assert f"| `{inner.name}` | {inner.info.meaning} |" in text


def test_rows_are_whole() -> None:
    rows = [line for line in brief_reference().splitlines() if line.startswith("|")]
    assert len(rows) > 80
    assert {row.replace("\\|", "").count("|") for row in rows} == {5}
