"""Write the table of docs/shaping-proof.md: the grown arm against drawn ones of the same mass.

python scripts/shape_proof.py [BRIEF] [--voxel MM] [--steps N] [--edge MM] [--at-once N]

All arms share width, bolts, plastic and print settings of the study's arm. Of each drawn family the
stiffest of the candidates that sizing looks at is taken, of any depth that the bolts pass, and its
walls are scaled until the printed mass is the study's arm's. All are cut into triangles and solved
in one way, each in a process of its own. The page is written anew after each arm.
"""

import argparse
import sys
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, replace
from datetime import date
from math import degrees
from multiprocessing import get_context
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

from refledge.airframe.sizing import build_pool, settings_of
from refledge.errors import AnalysisError, GeometryError, RefledgeError
from refledge.geometry import kernel
from refledge.geometry.arm import make_arm
from refledge.geometry.kernel import Solid
from refledge.inputs.brief import read_brief
from refledge.model.parts import ArmDesign
from refledge.printing.mass import printed_mass
from refledge.shaping.printable import Laid, Printable, laid, least_wall, of_drawn, printable
from refledge.shaping.reanalysis import ArmFound, Buckles, reanalyse
from refledge.shaping.shape import USE, Wish, shape_arm
from refledge.study import Study, design

NEAR = 0.9
"""Least of the mass that a candidate has before its walls are scaled."""
ROUNDS = 5
"""In which estimated masses of a family are corrected by that of one of its solids."""
STEP, STEPS = 1.03, 12
"""Of the walls, until the mass lies between two steps."""
ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples/lake-sampler/brief.toml"
PAGE = ROOT / "docs/shaping-proof.md"
KEPT = ROOT / "build/shape-proof"
GROWN = "grown"
FAMILIES = ("box", "channel", "truss")
WALLS = ("side", "top", "bottom", "web")


@dataclass(frozen=True)
class Row:
    """One arm."""

    name: str
    mass: float
    found: ArmFound | None
    bed: Laid | None
    why: str = ""


def main() -> None:
    asked = arguments()
    study = design(read_brief(asked.brief))
    KEPT.mkdir(parents=True, exist_ok=True)
    found, tubes, names = dict[str, Row](), tube(study), tuple(makers(study, asked))
    with ProcessPoolExecutor(asked.at_once, get_context("spawn")) as pool:
        for each in as_completed([pool.submit(row, name, asked) for name in names]):
            found[each.result().name] = each.result()
            print(line(each.result()), file=sys.stderr, flush=True)
            rows = [found[name] for name in names if name in found]
            PAGE.write_text(page(study, rows, tubes, asked))
    print(PAGE.read_text())


def makers(
    study: Study, asked: argparse.Namespace
) -> dict[str, Callable[[], tuple[Study, Printable]]]:
    """By the rows' names."""
    made: dict[str, Callable[[], tuple[Study, Printable]]] = {
        GROWN: lambda: (study, grown(study, asked, asked.use)),
        "grown for stiffness alone": lambda: (study, grown(study, asked, None)),
        f"present ({study.frame.arm.family})": lambda: (study, present(study)),
    }
    return made | {each: lambda family=each: drawn(study, family) for each in FAMILIES}


def row(name: str, asked: argparse.Namespace) -> Row:
    """One row, from the brief on."""
    study = design(read_brief(asked.brief))
    return judged(name, makers(study, asked)[name], asked.edge * 1e-3)


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    parser.add_argument("brief", nargs="?", type=Path, default=EXAMPLE)
    parser.add_argument("--voxel", type=float, default=1.0, help="mm")
    parser.add_argument("--steps", type=int, default=30, help="design steps")
    parser.add_argument("--edge", type=float, default=2.5, help="finer mesh, mm")
    parser.add_argument("--use", type=float, default=USE, help="of strength, grown to")
    parser.add_argument("--at-once", type=int, default=1, help="arms solved side by side")
    return parser.parse_args()


def judged(name: str, make: Callable[[], tuple[Study, Printable]], edge: float) -> Row:
    """One arm made, laid down and solved; the reason where it cannot be."""
    try:
        study, part = make()
        brief, spec = study.brief, next(each for each in study.parts if each.key == "arm")
        rho = study.task.materials[spec.material].rho
        mass = printed_mass(part.volume, part.area, rho, brief.frame, brief.printer)
        bed = laid(part.mesh, spec.print_rotation, brief.frame, brief.printer)
        return Row(name, mass, reanalyse(study, part, edge), bed, told(study.frame.arm))
    except RefledgeError as error:
        return Row(name, float("nan"), None, None, str(error).split(". ")[0])


def told(arm: ArmDesign) -> str:
    walls = ", ".join(f"{each} {1e3 * getattr(arm, each):.2f}" for each in WALLS)
    return f"depth {1e3 * arm.depth_root:.0f} to {1e3 * arm.depth_tip:.1f} mm; walls, mm: {walls}"


def grown(study: Study, asked: argparse.Namespace, use: float | None) -> Printable:
    wish = Wish(voxel=asked.voxel * 1e-3, iterations=asked.steps, use=use)
    return printable(shape_arm(study, wish, keep=KEPT).grown, least_wall(study.brief.printer))


def present(study: Study) -> Printable:
    return of_drawn(study.solids["arm"], least_wall(study.brief.printer))


def drawn(study: Study, family: str) -> tuple[Study, Printable]:
    """The study with a family's stiffest arm of the printed mass of its own, and that arm."""
    mass = next(spec.mass for spec in study.parts if spec.key == "arm")
    sized = stiffest(study, family, mass)

    def arm(factor: float) -> ArmDesign:
        return replace(sized, **{name: factor * getattr(sized, name) for name in WALLS})

    def over(factor: float) -> float:
        return weight(study, arm(factor)) - mass

    one = arm(float(brentq(over, *bracket(over, family), xtol=1e-3)))
    mine = replace(study, frame=replace(study.frame, arm=one))
    return mine, of_drawn(solid(study, one), least_wall(study.brief.printer))


def solid(study: Study, arm: ArmDesign) -> Solid:
    return make_arm(arm, replace(study.frame, arm=arm), study.task.hardware)


def weight(study: Study, arm: ArmDesign) -> float:
    """Printed mass of the arm's solid, kg."""
    body, brief = solid(study, arm), study.brief
    rho = study.task.materials[arm.material].rho
    return printed_mass(kernel.volume(body), kernel.area(body), rho, brief.frame, brief.printer)


def stiffest(study: Study, family: str, mass: float) -> ArmDesign:
    """Of sizing's candidates as wide as the study's arm and hardly lighter than ``mass``, kg, the
    one whose tip moves least at full thrust, by beams.

    Estimated masses are corrected by the mass of a solid until that lies near.
    """
    task, own = study.task, study.frame.arm
    settings = [each for each in settings_of(task, family) if each.body.arm_width == own.width]
    (block,) = build_pool(task, family, own.material, settings, study.frame.plate.thickness).blocks
    ratio = 1.0
    for _ in range(ROUNDS):
        fits = (ratio * block.mass <= mass) & (ratio * block.mass >= NEAR * mass)
        if not fits.any():
            raise AnalysisError(f"no {family} of this width weighs {1e3 * mass:.1f} g")
        row = int(np.argmin(np.where(fits, block.results.deflection_z, np.inf)))
        arm = block.candidates.arm(row, own.material)
        found = weight(study, arm)
        if NEAR * mass <= found <= mass / NEAR:
            return arm
        ratio = found / block.mass[row]
    raise AnalysisError(f"estimated masses of the {family} do not settle on those of its solids")


def bracket(over: Callable[[float], float], family: str) -> tuple[float, float]:
    """Two factors on the walls between which the mass is met."""
    heavy = over(1.0) > 0
    last = 1.0
    for _ in range(STEPS):
        each = last / STEP if heavy else last * STEP
        try:
            if (over(each) > 0) != heavy:
                return each, last
        except GeometryError as error:
            raise AnalysisError(f"walls of the {family} cannot be scaled to the mass") from error
        last = each
    raise AnalysisError(f"walls of the {family} scaled by up to {last:.2f} do not meet the mass")


def tube(study: Study) -> str:
    """The same brief with arms of tube, by beams: what sizing makes of them."""
    try:
        wish = replace(study.brief.frame, arm_family="tube")
        other = design(replace(study.brief, frame=wish))
    except RefledgeError as error:
        return f"Arms of bought tube could not be sized: {error}"
    spec = next(part for part in other.parts if part.key == "tube")
    return (
        "Arms of bought tube are of another material and held in printed blocks, so they have no "
        f"row: {spec.material}, {1e3 * spec.mass:.1f} g of tube an arm for the same brief. In the "
        f"whole airframe, by beams, its tip moves {by_beams(other)}; the present arm's "
        f"{by_beams(study)}."
    )


def by_beams(study: Study) -> str:
    full = study.assessment.result("full-thrust")
    return (
        f"{1e3 * full.tip_deflection.max():.2f} mm and tilts {degrees(full.motor_tilt.max()):.2f} "
        f"deg at full thrust, first mode of one arm {study.arm_modes.frequencies[0]:.1f} Hz"
    )


def page(study: Study, rows: list[Row], tubes: str, asked: argparse.Namespace) -> str:
    command = f"python scripts/shape_proof.py --voxel {asked.voxel:g} --steps {asked.steps}"
    command += "" if asked.use == USE else f" --use {asked.use:g}"
    head = (
        "| arm | printed mass, g | tip deflection, mm | tilt, deg | first modes, Hz "
        "| worst use | buckling load used | print time, min | support, cm2 | mesh error |"
    )
    lines = [
        "# The grown arm against drawn ones",
        "",
        f"`{command} --edge {asked.edge:g}` on the demo, {date.today().isoformat()}. Same width, "
        f"bolts, plastic ({study.frame.arm.material}) and print settings. Of box, channel and "
        "truss the candidate of sizing that bends least for the mass, of any depth that the bolts "
        "pass, its walls scaled to the mass. All as triangles, on the same two mesh sizes, the "
        f"finer {asked.edge:g} mm; worst use with the brief's factors.",
        "",
        head,
        "|---|---|---|---|---|---|---|---|---|---|",
        *(line(row) for row in rows),
        "",
        *(f"* {row.name}: {row.why}" for row in rows if GROWN not in row.name or not row.found),
        "",
        "## Where the grown arm wins and where it loses",
        "",
        *verdict(rows),
        "",
        tubes,
    ]
    return "\n".join(lines) + "\n"


def line(row: Row) -> str:
    if row.found is None or row.bed is None:
        return f"| {row.name} | – | – | – | – | – | – | – | – | {row.why} |"
    found = row.found
    modes = ", ".join(f"{each:.1f}" for each in found.modes[:3])
    cells = (
        row.name, f"{1e3 * row.mass:.1f}", f"{1e3 * found.deflection:.3f}",
        f"{degrees(found.tilt):.3f}", modes, f"{found.use:.0%} ({found.case})",
        buckling(found.buckling),
        f"{row.bed.figures.seconds / 60:.0f}", f"{1e4 * row.bed.support.area:.1f}",
        f"{found.errors[0]:.1%} deflection, {found.errors[3]:.0%} use",
    )  # fmt: skip
    return "| " + " | ".join(cells) + " |"


def buckling(found: Buckles) -> str:
    return found.why or f"{found.use:.0%} ({found.case})"


def verdict(rows: list[Row]) -> list[str]:
    """Where the grown arm wins and where it loses, figure by figure."""
    first, *others = [row for row in rows if row.found and row.bed] or [rows[0]]
    others = [row for row in others if GROWN not in row.name]
    if first.name != GROWN or not others:
        return ["There is no grown arm to compare."]
    figures = (
        ("tip deflection", lambda r: r.found.deflection, False),
        ("tilt", lambda r: r.found.tilt, False),
        ("first mode", lambda r: r.found.modes[0], True),
        ("worst use", lambda r: r.found.use, False),
        ("buckling", lambda r: r.found.buckling.use, False),
        ("print time", lambda r: r.bed.figures.seconds, False),
        ("support", lambda r: r.bed.support.area, False),
    )
    made = []
    for name, value, most in figures:
        best = (max if most else min)(others, key=value)
        ours, theirs = value(first), value(best)
        wins = ours > theirs if most else ours < theirs
        share = f"{ours / theirs - 1:+.0%}" if theirs else "from nothing"
        made.append(f"* {name}: the grown arm {'wins' if wins else 'loses'}, {share} against "
                    f"the best drawn one ({best.name}).")  # fmt: skip
    return made


if __name__ == "__main__":
    main()
