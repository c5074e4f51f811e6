"""Random valid briefs designed and written out whole: build folder, drawings, book, print plan.

Run: .venv/bin/python benchmarks/random_builds.py [first seed] [how many] [folder]

Slower than random_briefs.py (about half a minute each), and it finds what that cannot: a part that
drawings, book, repair or print plan do not know.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import subprocess  # noqa: E402  (threads must be set before numpy loads)
import sys  # noqa: E402
import tempfile  # noqa: E402
from pathlib import Path  # noqa: E402

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
from tests.geometry.random_briefs import brief_text  # noqa: E402

COMMAND = "from refledge.interfaces.cli import main; main()"
WORDS = {0: "holds", 1: "does not hold", 2: "refused"}
"""By exit status; a frame that cannot fly at all is refused with status 1."""


def tried(seed: int, folder: Path) -> tuple[int, str]:
    """Exit status of ``refledge design`` and its last words."""
    brief, out = folder / f"{seed}.toml", folder / f"build-{seed}"
    brief.write_text(brief_text(seed), encoding="utf-8")
    told = subprocess.run(
        [sys.executable, "-c", COMMAND, "design", str(brief), "--out", str(out)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    lines = (told.stdout.strip() or told.stderr.strip()).splitlines()
    return told.returncode, lines[0] if lines else ""


def main(first: int, count: int, folder: Path) -> int:
    faulty = 0
    for seed in range(first, first + count):
        status, words = tried(seed, folder)
        made = words.startswith(f"random {seed}:")
        fault = status not in WORDS or "went wrong" in words
        faulty += fault
        fate = "FAULTY" if fault else WORDS[status] if made else "refused"
        print(f"{seed}\t{fate}\t{words}", flush=True)
    print(f"{count} builds from seed {first}: {faulty} faulty; they lie in {folder}")
    return 1 if faulty else 0


if __name__ == "__main__":
    given = sys.argv[1:]
    numbers = [int(each) for each in given[:2]] + [0, 20][len(given[:2]) :]
    place = Path(given[2]) if len(given) > 2 else Path(tempfile.mkdtemp(prefix="builds-"))
    place.mkdir(parents=True, exist_ok=True)
    raise SystemExit(main(numbers[0], numbers[1], place))
