"""Drawings of every part, and templates at 1:1."""

from refledge.outputs.drawing.files import drawing_files, part_sheets, sheets_of
from refledge.outputs.drawing.marks import Sheet

__all__ = ["Sheet", "drawing_files", "part_sheets", "sheets_of"]
