"""Write docs/verification/beams-and-solids.md: the example's arm in every printed family.

python scripts/beams_and_solids.py [BRIEF]
"""

import sys
from dataclasses import replace
from pathlib import Path

from refledge.inputs.brief import read_brief
from refledge.study import Study, design
from refledge.units import figure, from_si
from refledge.verify.plastics import printed_body
from refledge.verify.results import PartVerified
from refledge.verify.run import solve
from refledge.verify.setup import arm_setup

ROOT = Path(__file__).parents[1]
FAMILIES = ("box", "channel", "truss")
ROWS = (
    ("full thrust: deflection of seat", "m", "mm"),
    ("full thrust: tilt of seat", "rad", "deg"),
    ("carried by one arm: deflection of seat", "m", "mm"),
    ("mode 1", "Hz", "Hz"),
    ("mode 2", "Hz", "Hz"),
    ("mode 3", "Hz", "Hz"),
)
REASONS = {
    "channel": "the open section's shear centre lies above its walls and its ribs stiffen the "
    "walls against bending out of their plane; the beam has neither.",
    "truss": "the beam takes the diagonals as hinged at their nodes; real nodes are stiff blocks "
    "that shorten chords and diagonals, and the end panels next to root and tenon are stiffer.",
}
HEAD = """# Beams against solids

The example's arm ({brief}) sized in each printed family, then solved both ways: the beam frame with
its plates held, and quadratic tetrahedra held under the clamp bolts, with layers, walls and infill,
motor and propeller riding on the tenon. Mesh error is estimated from two meshes. Written by
`python scripts/beams_and_solids.py`. Tubes are prismatic: their beam is exact and tested as such.

"""


def main() -> None:
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else ROOT / "examples/lake-sampler/brief.toml"
    brief = read_brief(path)
    text = HEAD.format(brief=path.resolve().relative_to(ROOT))
    for family in FAMILIES:
        wished = replace(brief, frame=replace(brief.frame, arm_family=family))
        study = design(wished)
        setup = arm_setup(study)
        found = solve(study, setup, printed_body(study, "arm"))
        text += _section(family, study, found)
    (ROOT / "docs/verification/beams-and-solids.md").write_text(text, encoding="utf-8")


def _section(family: str, study: Study, found: PartVerified) -> str:
    arm = study.frame.arm
    lines = [
        f"## {family}",
        "",
        f"{1e3 * arm.width:.1f} mm wide, {1e3 * arm.depth_root:.0f} to "
        f"{1e3 * arm.depth_tip:.1f} mm deep, {1e3 * arm.length:.0f} mm long, {arm.material}; "
        f"{found.dofs} unknowns.",
        "",
        "| figure | beam | solid | mesh error | beam over solid |",
        "|---|---|---|---|---|",
    ]
    worst = 0.0
    known = {each.name: each for each in found.figures}
    for name, unit, shown in ROWS:
        each = known[name]
        assert each.beam is not None
        away = each.beam / each.finest - 1.0
        worst = max(worst, abs(away))
        beam, solid = (figure(from_si(v, unit, shown), 4) for v in (each.beam, each.finest))
        error = each.error / each.finest
        lines.append(f"| {name} ({shown}) | {beam} | {solid} | {error:.1%} | {away:+.1%} |")
    if worst > 0.05:
        lines += ["", f"Above 5 %: {REASONS.get(family, 'unexplained')}"]
    return "\n".join([*lines, "", ""])


if __name__ == "__main__":
    main()
