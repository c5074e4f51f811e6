"""10,000 crashes of the whole frame: wall time and processor time.

Run: .venv/bin/python benchmarks/crash_runs.py [CRASHES]
Bar: 10,000 under 60 s on two cores. Compiling, once for each machine, is told apart.
"""

import os
import sys
import time
from pathlib import Path

from threadpoolctl import threadpool_limits

from refledge.airframe.blows.cases import crash_cases
from refledge.airframe.sizing import screen
from refledge.airframe.task_making import make_task, rotor_model
from refledge.inputs.brief import read_brief
from refledge.repair.marching import make_model
from refledge.repair.sampling import chances

BRIEF = Path(__file__).parents[1] / "examples" / "lake-sampler" / "brief.toml"


def main(crashes: int) -> None:
    """Time the five cases, a fifth of the crashes each."""
    with threadpool_limits(limits=1, user_api="blas"):
        brief = read_brief(BRIEF)
        task = make_task(brief, "six-x", rotor_model(brief), 3.2, {})
        sized = screen(task, "box", "ASA")
        model = make_model(task, sized.frame, sized.assessment)
        cases = crash_cases(sized.assessment.structure, model.points)
        wall = time.perf_counter()
        chances(model, task, sized.frame, cases[0], 1)
        print(f"compiled or loaded in {time.perf_counter() - wall:.1f} s")
        wall, work = time.perf_counter(), time.process_time()
        for case in cases:
            found = chances(model, task, sized.frame, case, crashes // len(cases))
            print(f"  {case.key:10} {found.samples} crashes, nothing broke in {found.nothing:.1%}")
        wall, work = time.perf_counter() - wall, time.process_time() - work
        print(
            f"{crashes} crashes: {wall:.1f} s of wall time, {work:.1f} s of processor time, "
            f"{len(model.pieces)} broken frames; {os.cpu_count()} cores, "
            f"load {os.getloadavg()[0]:.1f}"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
