"""Time to make the example's solids, put them together and check them, and what is made again.

Run: .venv/bin/python benchmarks/solids_time.py [arm family]
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import sys  # noqa: E402  (threads must be set before numpy loads)
import time  # noqa: E402
from dataclasses import replace  # noqa: E402
from pathlib import Path  # noqa: E402

from refledge.airframe.making import make_solids  # noqa: E402
from refledge.airframe.sizing import screen  # noqa: E402
from refledge.airframe.task_making import make_task, rotor_model  # noqa: E402
from refledge.geometry import kernel  # noqa: E402
from refledge.inputs.brief import read_brief  # noqa: E402

EXAMPLE = Path(__file__).parents[1] / "examples" / "lake-sampler" / "brief.toml"


def main(family: str) -> None:
    brief = read_brief(EXAMPLE)
    task = make_task(brief, "six-x", rotor_model(brief), 3.2, {})
    sized = screen(task, family, "ASA")
    frame = sized.frame
    kernel.box((0.0, 0.0, 0.0), (1e-2, 1e-2, 1e-2))  # loads the modeller
    leg = replace(frame.leg, depth_top=frame.leg.depth_top + 1e-3)
    arm = replace(frame.arm, side=frame.arm.side + 0.45e-3)
    changes = {
        "nothing known yet": frame, "nothing changed": frame,
        "legs changed": replace(frame, leg=leg), "arms changed": replace(frame, arm=arm),
    }  # fmt: skip
    for what, changed in changes.items():
        spent, clock = time.process_time(), time.perf_counter()
        made = make_solids(task, changed, sized.layout)
        count = sum(len(mesh.triangles) for mesh in made.assembly.meshes.values())
        print(f"{what}: {time.process_time() - spent:.2f} s of processor, "
              f"{time.perf_counter() - clock:.2f} s by the clock, {count} triangles")  # fmt: skip


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "truss")
