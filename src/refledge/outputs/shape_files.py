"""A grown arm in words, as JSON, as one page, and as files to print."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from markupsafe import Markup

from refledge.errors import BuildError
from refledge.outputs.frame_table import frame_lines, table_lines
from refledge.outputs.pages import data_uri, style, template
from refledge.outputs.record import plain
from refledge.outputs.shape_buckling import buckling_json, buckling_remarks, buckling_rows
from refledge.outputs.shape_pictures import arm_pictures, growing_png, history_chart
from refledge.outputs.shape_rounds import (
    ROUND_WORDS,
    framed_json,
    framed_rows,
    framed_verdict,
    open_checks,
    round_heads,
    round_rows,
    rounds_json,
)
from refledge.outputs.stl import stl_bytes
from refledge.outputs.threemf import threemf_bytes
from refledge.outputs.words import CAUTIONS, material_name
from refledge.shaping.figures import Moved
from refledge.shaping.result import Result
from refledge.units import show
from refledge.whole import checked_folder, write_whole

SCHEMA = "refledge shape 2"
PICTURE = "growing.png"
_ERRORS = ("deflection", "tilt", "first_mode", "use_of_strength")
_CARE = (
    "Both arms are counted on the same cubes as solid plastic, held under the clamp bolts and "
    "loaded on the tenon and by what their own plastic weighs and resists; infill is not in the "
    "figures of cubes, and use of strength is that in the middle of cubes, factors in: "
)
_LESS = "less than at the surface."
_TIMES = "from the second round on, as here, times what a round before was more as printed."
_UNSOLVED = "Not solved again as printed: refledge shape --verify says whether it holds"


def prepare_shape(out: Path) -> None:
    """Make the folder; BuildError for a build, which holds only what design wrote."""
    if (out / "build.json").is_file():
        raise BuildError(f"{out} is a build, which holds only what design wrote; name another")
    checked_folder(out)


def rows(found: Result) -> Iterator[tuple[str, str, str, str]]:
    """Name, present, grown and change of every figure."""
    before, after = found.shaped.before, found.shaped.after
    yield _row("mass as printed", found.present.mass, found.spec.mass, "kg", "g")
    for old, new in zip(before.moved, after.moved, strict=True):
        yield _row(f"{old.case}: tip moves", old.deflection, new.deflection, "m", "mm")
        yield _row(f"{old.case}: motor tilts", old.tilt, new.tilt, "rad", "deg")
        if old.use and new.use:
            yield _row(f"{old.case}: strength used", old.use, new.use, "1", "%")
    for number, hertz in enumerate(before.frequencies):
        name = f"mode {number + 1}, arm alone"
        if after.frequencies:
            yield _row(name, hertz, after.frequencies[number], "Hz", "Hz")
        else:
            yield name, show(hertz, "Hz", "Hz"), "cannot say", ""


def solid_rows(found: Result) -> Iterator[tuple[str, str, str, str]]:
    """The same of both arms solved again as printed, with mesh errors; none where not asked for."""
    if found.solids is None:
        return
    old, new = found.solids
    yield _row("tip moves at full thrust", old.deflection, new.deflection, "m", "mm")
    yield _row("motor tilts at full thrust", old.tilt, new.tilt, "rad", "deg")
    for number, pair in enumerate(zip(old.modes[:3], new.modes[:3], strict=True), 1):
        yield _row(f"mode {number}, arm alone", *pair, "Hz", "Hz")
    yield _row("greatest use of strength, factor in", old.use, new.use, "1", "%")
    yield "worst in", old.case, new.case, ""
    for name, k in (("tip", 0), ("first mode", 2), ("use", 3)):
        was, now = (f"{100 * each.errors[k]:.1f} %" for each in (old, new))
        yield f"mesh error of {name}", was, now, ""
    yield from buckling_rows(old, new)


def _row(name: str, old: float, new: float, unit: str, shown: str) -> tuple[str, str, str, str]:
    change = f"{100 * (new / old - 1):+.0f} %".replace("-", "−")
    return name, show(old, unit, shown), show(new, unit, shown), change


def remarks(found: Result) -> Iterator[str]:
    """What to know before printing."""
    body, laid = found.body, found.laid
    yield from found.shaped.notes
    yield from _strength(found)
    yield from buckling_remarks(found)
    if laid.support.area > 0:
        yield (
            f"{laid.support.area * 1e4:.1f} cm² of underside rest on support "
            f"({laid.support.plastic * 1e6:.1f} cm³ of it)"
        )
    else:
        yield "no support"
    yield f"about {show(laid.figures.seconds, 's', 'h', 2)} of printing"
    if body.islands:
        yield f"{len(body.islands)} loose bits dropped"
    if body.cavities:
        yield f"{len(body.cavities)} closed hollows filled"
    if body.thickened:
        yield f"{body.thickened * 1e6:.2f} cm³ put where walls came out too thin"
    if body.thin:
        x, y, z = (1e3 * each for each in body.thin[0].place)
        yield (
            f"{len(body.thin)} places thinner than {show(body.least_wall, 'm', 'mm')}, the largest "
            f"at ({x:.0f}, {y:.0f}, {z:.0f}) mm: {show(body.thin[0].thickness, 'm', 'mm')}"
        )
    if not found.spec.fits_bed:
        yield "does not fit the printer's bed"


def _strength(found: Result) -> Iterator[str]:
    """Whether the grown arm holds as printed, and how sure that is."""
    if found.solids is None:
        yield _UNSOLVED
        return
    grown = found.solids[1]
    band = grown.use * grown.errors[3]
    told = f"as printed it uses {show(grown.use, '1', '%')} of its strength in {grown.case}"
    if grown.use > 1.0:
        yield f"{told}: it fails; grow it with more mass, or keep the present arm"
    elif grown.use + band > 1.0:
        sure = f"mesh error {100 * grown.errors[3]:.0f} % of that"
        yield f"{told}, {sure}: cannot say whether it holds"
    else:
        yield f"{told}: it holds"


def shape_lines(found: Result) -> Iterator[str]:
    """For a person at a terminal."""
    yield f"{found.study.brief.title}: an arm grown in {len(found.shaped.design.history)} steps"
    yield ""
    table = list(rows(found))
    width = max(len(name) for name, *_ in table)
    for name, old, new, change in table:
        yield f"  {name:<{width}}  {old:>9} -> {new:>9}  {change:>7}"
    if found.solids:
        yield ""
        yield "  as printed: layers, walls and infill, two meshes"
        for name, old, new, change in solid_rows(found):
            yield f"  {name:<{width}}  {old:>9} -> {new:>9}  {change:>7}"
        yield from _framed_lines(found)
    yield ""
    yield from (f"  {each}" for each in remarks(found))


def _framed_lines(found: Result) -> Iterator[str]:
    yield ""
    yield from (f"  {line}" for line in table_lines([round_heads(found), *round_rows(found)]))
    yield ""
    yield f"  {framed_verdict(found)}"
    yield from (f"  {name}: {now}; before {was}" for name, now, was in open_checks(found))
    if found.frames:
        yield ""
        yield from (f"  {line}" for line in frame_lines(found.frames))


def shape_json(found: Result, out: Path) -> str:
    """Every figure, SI."""
    shaped, design = found.shaped, found.shaped.design
    document: dict[str, Any] = {
        "schema": SCHEMA,
        "title": found.study.brief.title,
        "version": found.study.version,
        "asked": shaped.wish,
        "voxels": {"shape": shaped.grown.grid.shape, "spacing_m": shaped.grown.grid.spacing},
        "mass_kg": {"present": found.present.mass, "grown": found.spec.mass,
                    "allowed_solid": shaped.budget},
        "present": shaped.before,
        "grown": shaped.after,
        "as_printed": None if found.solids is None else {
            name: {
                "full_thrust_deflection_m": each.deflection,
                "full_thrust_tilt_rad": each.tilt,
                "modes_Hz": list(each.modes),
                "use_of_strength": each.use,
                "worst_case": each.case,
                "buckling": buckling_json(each),
                "mesh_errors": dict(zip(_ERRORS, each.errors, strict=True)),
            }
            for name, each in zip(("present", "grown"), found.solids, strict=True)
        },
        "rounds": rounds_json(found),
        "in_the_airframe": framed_json(found),
        "greyness": design.greyness,
        "stopped_early": design.cancelled,
        "limits_met": design.best.feasible,
        "volume_m3": found.body.volume,
        "support": found.laid.support,
        "print": {"seconds": found.laid.figures.seconds, "size_m": found.laid.size},
        "least_wall_m": found.body.least_wall,
        "thin": list(found.body.thin),
        "islands": list(found.body.islands),
        "cavities": list(found.body.cavities),
        "history": [
            {"compliance": step.compliance, "mass_kg": step.mass * shaped.whole}
            for step in design.history
        ],
        "folder": str(out),
    }  # fmt: skip
    return json.dumps(plain(document), indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def write_shape(found: Result, out: Path) -> tuple[Path, ...]:
    """shape.html, shape.json, the arm as 3MF and STL, its pictures."""
    prepare_shape(out)
    spec, mesh = found.spec, found.body.mesh
    material = material_name(found.study, spec.material)
    pictures = arm_pictures(found)
    growing_png(found.shaped.grown.density.mean(axis=1), out / PICTURE)
    made: dict[str, str | bytes] = {f"{name}.png": data for name, data in pictures.items()}
    made |= {
        "grown-arm.3mf": threemf_bytes(spec, mesh, material, found.study.version),
        "grown-arm.stl": stl_bytes(spec, mesh),
        "shape.json": shape_json(found, out),
        "shape.html": shape_html(found, pictures, (out / PICTURE).read_bytes()),
    }
    return tuple(write_whole(out / name, data) for name, data in reversed(made.items()))


def shape_html(found: Result, pictures: dict[str, bytes], side: bytes) -> str:
    """One page that needs nothing else."""
    page: str = template("shape.html", show=show).render(
        study=found.study, brief=found.study.brief, found=found, rows=list(rows(found)),
        solid_rows=list(solid_rows(found)), framed_rows=list(framed_rows(found)),
        framed_verdict=framed_verdict(found), open_checks=list(open_checks(found)),
        round_heads=round_heads(found), round_rows=list(round_rows(found)), round_words=ROUND_WORDS,
        remarks=list(remarks(found)), caution=CAUTIONS[-1][1],
        care=_CARE + (_TIMES if found.shaped.wish.printed else _LESS),
        pictures={name: data_uri(data) for name, data in (pictures | {"side": side}).items()},
        history=Markup(history_chart(found)), style=style(),
        best=_best(found),
    )  # fmt: skip
    return page


def _best(found: Result) -> tuple[Moved, Moved]:
    """The first case of flight, before and after."""
    name = found.shaped.flight
    return found.shaped.before.of(name), found.shaped.after.of(name)
