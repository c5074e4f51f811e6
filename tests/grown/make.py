"""Makes the grown arm that these tests use: ``python -m tests.grown.make FOLDER`` (minutes).

The arm of the example as tests take it, on voxels of 3 mm in 15 steps, its surface thinned to few
triangles, so that the file is small, before it is solved on elements of 4.5 mm. No arm to fly: far
too coarse, as its figures say.
"""

import sys
from dataclasses import replace
from pathlib import Path

import refledge as rf
from refledge.geometry.mesh import mesh_volume
from refledge.inputs.grown_text import grown_files
from refledge.shaping.keeping import kept_arm
from refledge.shaping.printable import laid, least_wall, printable
from refledge.shaping.reanalysis import reanalyse
from refledge.shaping.result import Result
from refledge.shaping.shape import Wish, shape_arm
from refledge.shaping.surface_bodies import body_of, mesh_of

EXAMPLE = Path(__file__).parents[1] / "briefs" / "lake-sampler" / "brief.toml"
VOXEL, STEPS, EDGE, THINNED = 3e-3, 15, 4.5e-3, 0.15


def made() -> Result:
    """The whole way of ``refledge shape --verify``, coarse."""
    study = rf.design(rf.read_brief(EXAMPLE))
    shaped = shape_arm(study, Wish(voxel=VOXEL, iterations=STEPS))
    body = printable(shaped.grown, least_wall(study.brief.printer))
    thin = body_of(body.mesh, "grown arm").simplify(THINNED)
    mesh = mesh_of(thin, "grown arm")
    area = float(thin.surface_area()) * 1e-6
    body = replace(body, mesh=mesh, volume=mesh_volume(mesh), area=area)
    lies = laid(body.mesh, body.print_rotation, study.brief.frame, study.brief.printer)
    solved = reanalyse(study, body, EDGE, keep=True)
    print(len(mesh.triangles), "triangles, use", solved.use, solved.case, "errors", solved.errors)
    return Result(study, shaped, body, lies, (solved, solved))


def main(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    for name, data in grown_files(kept_arm(made())).items():
        (folder / name).write_bytes(data)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
