"""Write docs/verification from the tests' own cases: every figure in it is computed here and now.

Run from the root of the checkout: ``python scripts/verification_book.py``.
"""

import inspect
import platform
import sys
import tempfile
from importlib.metadata import version
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from tests.verification import buckling_cases, invariants, mode_cases, stress_cases  # noqa: E402
from tests.verification.arm_compare import compare_arm  # noqa: E402
from tests.verification.book import Entry, Outcome, run  # noqa: E402

from refledge.solids import calculix  # noqa: E402

OUT = ROOT / "docs" / "verification"
INTRO = """# Verification book of the solid solver

Written by `make verify` from the tests in `tests/verification`; nothing here is typed in by hand.
Each problem is solved on two meshes. *Mesh error* is the change that Richardson's extrapolation
still expects (second order); *off* is the finer value against the target; *band* is how near the
test demands it to come, and why. Targets come from published benchmarks as quoted in open test
suites, or from closed forms; "from memory" stands where a source was not seen.

"""


def main() -> int:
    """Solve everything, write the pages; exit status 1 where an entry misses its band."""
    OUT.mkdir(parents=True, exist_ok=True)
    pages, passed = [], True
    groups = {
        "Stress and deflection": stress_cases.ENTRIES,
        "Natural modes": mode_cases.ENTRIES,
        "Buckling": buckling_cases.ENTRIES,
    }
    for heading, entries in groups.items():
        pages.append(f"## {heading}\n")
        for entry in entries:
            print(entry.key, flush=True)
            outcomes = run(entry)
            passed &= all(each.passes for each in outcomes)
            pages.append(chapter(entry, outcomes))
    exact, good = invariant_chapter()
    other, same = solver_chapter()
    text = INTRO + summary(passed and good and same) + "\n".join(pages) + exact + other
    (OUT / "README.md").write_text(text)
    return 0 if passed and good and same else 1


def summary(passed: bool) -> str:
    libraries = ", ".join(f"{name} {version(name)}" for name in ("ngsolve", "numpy", "scipy"))
    state = "every figure lies in its band" if passed else "SOME FIGURES MISS THEIR BAND"
    return f"State: {state}. Solved with {libraries}, {platform.machine()}.\n\n"


def chapter(entry: Entry, outcomes: list[Outcome]) -> str:
    rows = [
        f"| {o.target.name} | {o.target.value:.6g} {o.target.unit} | {o.coarse:.6g} "
        f"| {o.estimate.finest:.6g} | {o.estimate.relative:.2%} | {o.off:+.2%} "
        f"| {o.target.band:.1%} | {'holds' if o.passes else 'FAILS'} |"
        for o in outcomes
    ]
    head = "| figure | target | coarse mesh | fine mesh | mesh error | off | band | verdict |"
    return "\n".join([
        f"### {entry.title}\n", f"{entry.problem}\n", f"Source: {entry.source}.\n",
        f"Band: {entry.why_band}\n", head, "|---|---|---|---|---|---|---|---|", *rows, "",
    ])  # fmt: skip


def invariant_chapter() -> tuple[str, bool]:
    """Orders and exact invariants."""
    displacement, stress = invariants.orders()
    patch, turned = invariants.patch_error(), invariants.rotation_error()
    rows = [
        ("order of convergence, displacement (L2)", f"{displacement:.2f}", "2.8 to 3.3",
         2.8 < displacement < 3.3),
        ("order of convergence, stress (L2)", f"{stress:.2f}", "1.8 to 2.3", 1.8 < stress < 2.3),
        ("patch test, layered law, irregular mesh: stress error", f"{patch:.1e}", "below 1e-10",
         patch < 1e-10),
        ("part, law and load turned together: change", f"{turned:.1e}", "below 1e-9",
         turned < 1e-9),
    ]  # fmt: skip
    lines = [f"| {n} | {v} | {b} | {'holds' if ok else 'FAILS'} |" for n, v, b, ok in rows]
    text = "\n".join([
        "\n## Orders and invariants\n", f"{inspect.getdoc(invariants.errors)}\n",
        "| what | value | band | verdict |", "|---|---|---|---|", *lines, "",
    ])  # fmt: skip
    return text, all(row[3] for row in rows)


def solver_chapter() -> tuple[str, bool]:
    """The same arm through an independent solver."""
    head = "\n## A whole arm through two solvers\n\n"
    if not calculix.available():
        return head + "Not run: the package calculix-ccx is not installed.\n", True
    with tempfile.TemporaryDirectory() as folder:
        rows = compare_arm(Path(folder))
    lines = [
        f"| {r.name} | {r.ours:.7g} {r.unit} | {r.theirs:.7g} {r.unit} | {r.difference:.1e} "
        f"| {'holds' if r.difference < 1e-6 else 'FAILS'} |"
        for r in rows
    ]
    text = "\n".join([
        "A box arm of layered plastic, clamped by root block and bolt bores, on the same mesh by "
        "CalculiX. It integrates the mass by four points; for this table ours does too. "
        "Displacements differ by the greatest difference at any node over the greatest "
        "displacement; the band is 1e-6.\n",
        "| figure | ours | CalculiX | difference | verdict |", "|---|---|---|---|---|", *lines, "",
    ])  # fmt: skip
    return head + text, all(row.difference < 1e-6 for row in rows)


if __name__ == "__main__":
    sys.exit(main())
