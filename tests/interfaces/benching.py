"""What the tests of the bench's commands share."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
BENCH = ROOT / "examples" / "bench"
Run = Callable[..., Any]


def short_arm(run: Run, build: Path, folder: Path, *more: object) -> Any:
    return run(
        "coupon", "short-arm", "--brief", build, "--span", "100 mm", "--out", folder,
        "--store", folder / "bench.sqlite", "--json", *more,
    )  # fmt: skip
