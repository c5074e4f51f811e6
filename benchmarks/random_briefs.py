"""Random valid briefs: how many give faultless solids, how many one clear reason why not.

Run: .venv/bin/python benchmarks/random_briefs.py [first seed] [how many] [log file]

The log gets a line for each brief as soon as it is done, so that a run may be stopped at any time.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import sys  # noqa: E402  (threads must be set before numpy loads)
import time  # noqa: E402
from collections import Counter  # noqa: E402
from pathlib import Path  # noqa: E402

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))
from tests.geometry.random_outcomes import Outcome, outcome  # noqa: E402


def tried(seed: int) -> Outcome:
    """The outcome; an error that nobody foresaw is a fault too."""
    try:
        return outcome(seed)
    except Exception as error:
        return Outcome(seed, "", "", (f"{type(error).__name__}: {error}",), "")


def main(first: int, count: int, report: Path | None) -> int:
    found, begun = [], time.process_time()
    for seed in range(first, first + count):
        each = tried(seed)
        found.append(each)
        fate = "faulty" if each.faults else "refused" if each.refused else "made"
        told = each.faults or each.refused or ", ".join(each.notes)
        words = f"{seed}\t{fate}\t{each.family}\t{each.kind}\t{told}"
        if fate != "made":
            print(words, flush=True)
        if report:
            with report.open("a", encoding="utf-8") as log:
                log.write(words + "\n")
    made = [each for each in found if not each.refused and not each.faults]
    faulty = [each for each in found if each.faults]
    spent = time.process_time() - begun
    print(f"{count} briefs from seed {first}: {len(made)} made, "
          f"{count - len(made) - len(faulty)} refused with a reason, {len(faulty)} faulty; "
          f"{spent / count:.1f} s of processor each")  # fmt: skip
    print("made:", dict(Counter(each.family for each in made)))
    print("too large for the bed:", sum(any("bed" in n for n in e.notes) for e in made),
          "an item in the way:", sum(any("share" in n for n in e.notes) for e in made))  # fmt: skip
    return 1 if faulty else 0


if __name__ == "__main__":
    given = sys.argv[1:]
    numbers = [int(each) for each in given[:2]] + [0, 1000][len(given[:2]) :]
    raise SystemExit(main(numbers[0], numbers[1], Path(given[2]) if len(given) > 2 else None))
