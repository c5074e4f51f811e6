"""Write docs/verification/beams-and-solids.md: arms of every printed family by beams and solids.

python scripts/beams_and_solids.py [BRIEF]
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from refledge.airframe.fillness import fill_of
from refledge.airframe.findings import arm_modes
from refledge.airframe.statics import solve_cases
from refledge.airframe.structure import build_structure
from refledge.geometry import kernel
from refledge.geometry.arm import make_arm
from refledge.inputs.brief import read_brief
from refledge.model.parts import ArmDesign
from refledge.printing.mass import printed_mass
from refledge.solids.part import Figure, solve_part
from refledge.solids.port import MeshSize
from refledge.study import Study, design
from refledge.units import figure, from_si
from refledge.verify.beam_forces import arm_axes
from refledge.verify.plastics import printed_body
from refledge.verify.setup import arm_setup

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples/lake-sampler/brief.toml"
MESH = MeshSize(5e-3)
FAMILIES = ("box", "channel", "truss")
ROWS = (
    ("full thrust: deflection of seat", "m", "mm"),
    ("full thrust: tilt of seat", "rad", "deg"),
    ("carried by one arm: deflection of seat", "m", "mm"),
    ("mode 1", "Hz", "Hz"),
    ("mode 2", "Hz", "Hz"),
    ("mode 3", "Hz", "Hz"),
)
MODES = sum(row.startswith("mode") for row, _, _ in ROWS)
SHORT, EVEN, DEEP = "short", "even depth", "long and deep"
BOX_WALLS = ("side", "top", "bottom")
RIBBED_WALLS = ("side", "top", "web")
TRUSS_WALLS = ("side", "top", "bottom", "web")
# mm: length, depth at root and tip, then the walls above; made up, only unlike each other.
SIZES: dict[str, tuple[tuple[str, ...], dict[str, tuple[float, ...]]]] = {
    "box": (
        BOX_WALLS,
        {
            SHORT: (226, 24, 18, 1.35, 1.2, 1.2),
            EVEN: (306, 24, 24, 1.8, 2.4, 1.6),
            DEEP: (346, 40, 22, 0.9, 0.8, 0.8),
        },
    ),
    "channel": (
        RIBBED_WALLS,
        {
            SHORT: (226, 22, 16.5, 1.8, 1.2, 0.9),
            EVEN: (306, 24, 24, 0.9, 2.4, 1.35),
            DEEP: (346, 40, 22, 2.7, 1.2, 0.9),
        },
    ),
    "truss": (
        TRUSS_WALLS,
        {
            SHORT: (226, 24, 18, 2.7, 1.6, 3.2, 1.8),
            EVEN: (306, 26, 26, 1.8, 2.4, 2.4, 1.35),
            DEEP: (346, 40, 22, 4.05, 2.4, 4.8, 2.7),
        },
    ),
}
DESIGNED, WITH_LAP = "as designed", "as designed, its lap as the beams have it"


@dataclass(frozen=True, eq=False)
class Compared:
    """One arm both ways."""

    name: str
    arm: ArmDesign
    dofs: int
    beam: dict[str, float]
    solid: dict[str, Figure]

    def away(self, figure: str) -> float:
        """Beam over solid less one (1)."""
        return self.beam[figure] / self.solid[figure].estimate.finest - 1.0


def designed(family: str, path: Path = EXAMPLE, material: str = "") -> Study:
    """The brief's frame with arms of this family, without its mast: the longer bolts under that
    leave no room for the deepest arms.

    material: of the printed parts; without it as the brief has it.
    """
    brief = read_brief(path)
    wish = replace(brief.frame, arm_family=family, mast="")
    return design(replace(brief, frame=replace(wish, material=material or wish.material)))


def arms_of(study: Study) -> Iterator[tuple[str, ArmDesign]]:
    """The arm as designed, in one piece; with its lap where it has one; and the other sizes."""
    arm = study.frame.arm
    whole = replace(arm, split=0.0, lap=0.0, lap_screw="")
    yield DESIGNED, whole
    if arm.split:
        yield WITH_LAP, arm
    walls, sizes = SIZES[arm.family]
    keys = ("length", "depth_root", "depth_tip", *walls)
    for name, values in sizes.items():
        other = replace(whole, **{k: 1e-3 * v for k, v in zip(keys, values, strict=True)})
        pitch = {
            "channel": other.width - 2 * other.side,
            "truss": 2 * other.depth_tip,
        }.get(arm.family)
        panels = np.ceil(other.span / pitch - 1e-9) if pitch else 0
        yield name, replace(other, pitch=float(other.span / panels) if pitch else 0.0)


def compared(study: Study, name: str, arm: ArmDesign) -> Compared:
    """``arm`` in place of the study's own, loaded by the same cases, by beams and by solids.

    In the modes the beams weigh as much as the solid; by skin and surface a part weighs a little
    more, which is a matter of mass and not of beams.
    """
    changed = with_arm(study, arm)
    setup = arm_setup(changed)
    asked = [case for case in setup.cases if any(row.startswith(case.name) for row, _, _ in ROWS)]
    found = solve_part(
        {"arm": printed_body(changed, "arm")}, setup.regions, setup.supports, asked,
        setup.masses, size=MESH, watch=setup.watch, n_modes=MODES,
    )  # fmt: skip
    solid = {each.name: each for each in found.figures}
    mesh, matrices = found.finest.mesh, found.finest.system.matrices
    mass = float((matrices.mass @ np.ones(len(mesh.nodes))).sum())
    modes = with_arm(study, arm, mass).arm_modes.frequencies
    beam = dict(setup.beam) | {f"mode {k}": float(f) for k, f in enumerate(modes, 1)}
    return Compared(name, arm, mesh.dofs, beam, solid)


def with_arm(study: Study, arm: ArmDesign, mass: float | None = None) -> Study:
    """The study with another arm; motors move with its tip.

    mass: kg; by default as printed, from its solid's volume and surface.
    """
    frame = replace(study.frame, arm=arm)
    rise = (arm.depth_root - study.frame.arm.depth_root) / 2
    shift = np.array([arm.length - study.frame.arm.length, 0.0, rise])
    turns = [arm_axes(float(angle)) for angle in study.layout.arm_angles]
    lumps = tuple(
        replace(lump, centre=lump.centre + turns[lump.arm].T @ shift) if lump.arm >= 0 else lump
        for lump in study.assessment.lumps
    )
    masses = {spec.key: spec.mass for spec in study.parts}
    body = make_arm(arm, frame, study.task.hardware)
    rho = study.task.materials[arm.material].rho
    wish, printer = study.brief.frame, study.brief.printer
    masses |= dict.fromkeys(("arm_inner", "arm_outer"), 0.0)
    printed = printed_mass(kernel.volume(body), kernel.area(body), rho, wish, printer)
    masses["arm"] = printed if mass is None else mass
    structure = build_structure(
        frame, study.layout, study.task.materials, fill_of(study.brief), masses, lumps,
        study.task.hardware,
    )  # fmt: skip
    cases = tuple(result.case for result in study.assessment.results)
    results = solve_cases(structure, study.layout, cases)
    return replace(
        study,
        frame=frame,
        solids={**study.solids, "arm": body},
        arm_modes=arm_modes(structure),
        assessment=replace(study.assessment, structure=structure, results=results, lumps=lumps),
    )


def main() -> None:
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else EXAMPLE
    texts = []
    for family in FAMILIES:
        study = designed(family, path)
        found = [compared(study, name, arm) for name, arm in arms_of(study)]
        texts.append(_section(family, found))
        print(texts[-1], flush=True)
    page = ROOT / "docs/verification/beams-and-solids.md"
    head, _, rest = page.read_text(encoding="utf-8").partition(BEGIN)
    _, _, tail = rest.partition(END)
    page.write_text(head + BEGIN + "\n\n" + "\n".join(texts) + END + tail, encoding="utf-8")


BEGIN, END = "<!-- figures -->", "<!-- end of figures -->"


def _section(family: str, found: list[Compared]) -> str:
    """Tables of one family: the designed arm in full, the others by their differences."""
    first = found[0]
    lines = [f"## {family}", "", f"As designed, in one piece: {_size(first)}.", "", _HEAD, _RULE]
    for name, unit, shown in ROWS:
        estimate = first.solid[name].estimate
        values = (first.beam[name], estimate.finest)
        beam, solid = (figure(from_si(value, unit, shown), 4) for value in values)
        error = estimate.error / estimate.finest
        away = first.away(name)
        lines.append(f"| {name} ({shown}) | {beam} | {solid} | {error:.1%} | {away:+.1%} |")
    lines += ["", "Beam over solid, all arms:", "", "| arm | " + " | ".join(_COLUMNS) + " |"]
    lines.append("|---" * (len(ROWS) + 1) + "|")
    for each in found:
        cells = " | ".join(f"{each.away(name):+.1%}" for name, _, _ in ROWS)
        lines.append(f"| {each.name} | {cells} |")
    lines += ["", *(f"* {each.name}: {_size(each)}" for each in found[1:]), "", ""]
    return "\n".join(lines)


_HEAD = "| figure | beam | solid | mesh error | beam over solid |"
_RULE = "|---|---|---|---|---|"
_COLUMNS = ("deflection", "tilt", "carried by one arm", "mode 1", "mode 2", "mode 3")


def _size(each: Compared) -> str:
    arm = each.arm
    walls = {"side": arm.side, "top": arm.top, "bottom": arm.bottom, "web": arm.web}
    told = ", ".join(f"{name} {1e3 * value:.2f}" for name, value in walls.items() if value)
    return (
        f"{1e3 * arm.length:.0f} mm long, {1e3 * arm.width:.1f} wide, "
        f"{1e3 * arm.depth_root:.0f} to {1e3 * arm.depth_tip:.1f} deep, {told}; "
        f"{arm.material}; {each.dofs} unknowns"
    )


if __name__ == "__main__":
    main()
