"""Time of the demo as one run: import, the design, and the whole build folder.

Run: .venv/bin/python benchmarks/design_time.py
"""

import os
import platform
import sys
import tempfile
import time
from pathlib import Path

DEMO = Path(__file__).parents[1] / "examples" / "lake-sampler" / "brief.toml"


def main() -> None:
    started = time.perf_counter()
    from refledge.inputs.brief import read_brief  # noqa: PLC0415 - its import is timed
    from refledge.interfaces.given import given_files  # noqa: PLC0415
    from refledge.outputs.build import write_build  # noqa: PLC0415
    from refledge.study import design  # noqa: PLC0415

    marks = [("import", started, time.perf_counter())]
    begun = time.perf_counter()
    brief = read_brief(DEMO)
    study = design(brief)
    marks.append(("design", begun, time.perf_counter()))
    begun = time.perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        write_build(study, Path(folder) / "build", given_files(brief))
    marks.append(("write", begun, time.perf_counter()))
    load = os.getloadavg()[0]
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {load:.1f}, Python "
          f"{sys.version.split()[0]}")  # fmt: skip
    for name, start, end in marks:
        print(f"{name:8s} {end - start:6.1f} s")
    print(f"{'in all':8s} {marks[-1][2] - started:6.1f} s   {study.verdict}, "
          f"{study.all_up_mass:.2f} kg, frame {study.frame_mass:.3f} kg")  # fmt: skip


if __name__ == "__main__":
    main()
