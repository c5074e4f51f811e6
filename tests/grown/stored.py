"""Where the stored arm lies, which ``make.py`` made, and the brief that it was grown for."""

from pathlib import Path

STORED = Path(__file__).parent / "arm"
EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler"
