"""The build folder: everything of a study as files, written whole or not at all."""

import errno
import hashlib
import json
import os
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from types import MappingProxyType
from typing import Final

from refledge.errors import BuildError, GeometryError
from refledge.geometry.kernel import Solid, move, with_faces, write_step
from refledge.model.results import PartSpec
from refledge.outputs.book import book_files
from refledge.outputs.charts.response import response_chart
from refledge.outputs.drawing import drawing_files
from refledge.outputs.drawings import drawings
from refledge.outputs.dxf import flat_dxf
from refledge.outputs.gltf import glb_bytes
from refledge.outputs.palette import rgb_of
from refledge.outputs.pictures import pictures
from refledge.outputs.print_plan import PAGE as PLAN_PAGE
from refledge.outputs.printed import print_mesh
from refledge.outputs.record import study_json
from refledge.outputs.repair_files import NAME as REPAIR
from refledge.outputs.repair_files import repair_json
from refledge.outputs.report import report_html
from refledge.outputs.solid_files import (
    buckled_glb,
    buckles,
    solid_glb,
    solid_pictures,
    solid_record,
)
from refledge.outputs.stl import stl_bytes
from refledge.outputs.swap import recover, replacing
from refledge.outputs.tables import tables
from refledge.outputs.threemf import threemf_bytes
from refledge.outputs.urdf import urdf_text
from refledge.outputs.words import material_name
from refledge.printing.calibration import Calibration
from refledge.study import Study
from refledge.verify.results import Verified
from refledge.whole import unwritten

MARKER: Final = "build.json"
_KIND: Final = "refledge build"
Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class BuildReport:
    """What was written where."""

    folder: Path
    files: tuple[str, ...]
    """Paths inside the folder, sorted."""

    @property
    def report(self) -> Path:
        return self.folder / "report.html"


def write_build(
    study: Study,
    folder: str | Path,
    given: Mapping[str, bytes] = MappingProxyType({}),
    *,
    verified: Verified | None = None,
    calibration: Calibration | None = None,
    progress: Progress = lambda _what, _share: None,
) -> BuildReport:
    """Write every file of ``study`` into ``folder``, replacing a build that stands there.

    ``verified`` adds what the solid verification found.
    ``calibration``: the time model fitted to the user's prints, for the times in ``repair.json``.
    ``given`` are files that go along as they are, by path in the folder: the brief and its tables,
    from which the build can be made again.
    Raises BuildError and leaves the folder as it was when anything goes wrong.
    """
    target = prepare(folder)
    with _disk_trouble(target), replacing(target) as fresh:
        _fill(study, given, verified, calibration, fresh, progress)
        files = _mark(study, fresh)
        _refuse_foreign(target)
    return BuildReport(target, files)


def prepare(folder: str | Path) -> Path:
    """The build folder's full path; raises BuildError where a build may not or cannot go there."""
    target = Path(folder).expanduser().absolute()
    with _disk_trouble(target):
        target = target.resolve()
        if Path.cwd().is_relative_to(target):
            raise BuildError(f"{target} is the folder you stand in; name one inside it")
        recover(target)
        _refuse_foreign(target)
        if not os.access(next(p for p in target.parents if p.exists()), os.W_OK):
            raise PermissionError(errno.EACCES, "")
    return target


@contextmanager
def _disk_trouble(target: Path) -> Iterator[None]:
    """Say in words what the system refused."""
    try:
        yield
    except OSError as error:
        raise unwritten(target, error) from error


def _refuse_foreign(target: Path) -> None:
    """Raise BuildError where ``target`` holds anything that a build did not put there."""
    if not target.exists():
        return
    if not target.is_dir():
        raise BuildError(f"{target} is a file; name a folder for the build")
    found = {str(p.relative_to(target)) for p in target.rglob("*") if not p.is_dir()}
    if not found:
        return
    foreign = sorted(found - _files_of_build(target))
    if foreign:
        listed = ", ".join(foreign[:5]) + (", ..." if len(foreign) > 5 else "")
        raise BuildError(
            f"{target} holds files that Refledge did not write ({listed}); "
            "move them away or name another folder"
        )


def _files_of_build(target: Path) -> set[str]:
    """Files that the marker lists, and the marker itself; nothing where there is no marker."""
    try:
        marker = json.loads((target / MARKER).read_text(encoding="utf-8"))
    except (FileNotFoundError, ValueError):
        return set()
    if not isinstance(marker, dict) or marker.get("kind") != _KIND:
        return set()
    return {MARKER, *marker["files"]}


def _fill(
    study: Study,
    given: Mapping[str, bytes],
    verified: Verified | None,
    calibration: Calibration | None,
    fresh: Path,
    progress: Progress,
) -> None:
    for name, data in given.items():
        _write(fresh, name, data)
    steps = list(_steps(study, verified, calibration, planned=PLAN_PAGE in given))
    for k, (what, step) in enumerate(steps):
        progress(what, k / len(steps))
        step(fresh)
    progress("build folder", 1.0)


def _steps(
    study: Study, verified: Verified | None, calibration: Calibration | None, *, planned: bool
) -> Iterator[tuple[str, Callable[[Path], None]]]:
    """What is being written, and the function that writes it."""
    for spec in study.parts:
        yield f"files of {spec.name}", partial(_write_part, study, spec)
    yield "assembly", partial(_write_assembly, study)
    yield "tables", partial(_write_tables, study)
    if verified is not None:
        yield "solid verification", partial(_write_solids, study, verified)
    yield "pictures and report", partial(_write_report, study, verified, planned)
    yield "drawings", partial(_write_drawings, study)
    yield "build book", partial(_write_book, study)
    yield "physical description", partial(_write_urdf, study)
    yield "print times and mating features", partial(_write_repair, study, calibration)


def _write(out: Path, name: str, data: bytes | str) -> None:
    path = out / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data.encode("utf-8") if isinstance(data, str) else data)


def _write_part(study: Study, spec: PartSpec, out: Path) -> None:
    mesh, solid = study.assembly.meshes[spec.key], study.solids[spec.key]
    (out / "parts").mkdir(exist_ok=True)
    path, colours = out / "parts" / f"{spec.key}.step", {spec.name: rgb_of(spec.key, "part")}
    faced = _faced(solid)
    if faced is not None:
        write_step({spec.name: faced}, path, title=spec.name, colours=colours)
    if not spec.printed:
        return
    material, shown = material_name(study, spec.material), print_mesh(study, spec)
    _write(out, f"parts/{spec.key}.3mf", threemf_bytes(spec, shown, material, study.version))
    _write(out, f"parts/{spec.key}.stl", stl_bytes(spec, shown))
    drawing = flat_dxf(spec, mesh, solid)
    if drawing is not None:
        _write(out, f"flat/{spec.key}.dxf", drawing)


def _write_assembly(study: Study, out: Path) -> None:
    title = study.brief.title
    _write(out, "assembly.glb", glb_bytes(study.assembly, title, study.version))
    parts = [each for each in study.assembly.placements if each.group == "part"]
    colours = {each.name: rgb_of(each.key, "part") for each in parts}
    write_step(_placed(study), out / "assembly.step", title=title, colours=colours)


def _placed(study: Study) -> dict[str, Solid]:
    """Every part in its place; items and discs are simple bodies and stay out."""
    faced = {key: _faced(solid) for key, solid in study.solids.items()}
    return {
        each.name: move(solid, each.rotation, each.translation)
        for each in study.assembly.placements
        if each.group == "part" and (solid := faced[each.key]) is not None
    }


def _faced(solid: Solid) -> Solid | None:
    """With faces for STEP; None for a grown part of more triangles than make a sensible file."""
    try:
        return with_faces(solid)
    except GeometryError:
        return None


def _write_tables(study: Study, out: Path) -> None:
    for table in tables(study):
        _write(out, f"{table.name}.csv", table.csv_text())
        _write(out, f"tables/{table.name}.json", table.json_text())
    _write(out, "study.json", study_json(study))


def _write_solids(study: Study, verified: Verified, out: Path) -> None:
    for part in verified.parts:
        _write(out, f"solid/{part.key}.vtu", part.fields)
        _write(out, f"solid/{part.key}.glb", solid_glb(part, study.version))
        if buckles(part):
            _write(out, f"solid/{part.key}-buckled.glb", buckled_glb(part, study.version))
    _write(out, "solid.json", solid_record(verified))


def _write_report(study: Study, verified: Verified | None, planned: bool, out: Path) -> None:
    images, figures = pictures(study), drawings(study)
    if verified is not None:
        images |= solid_pictures(verified)
        if verified.whole is not None:
            figures["response"] = response_chart(verified.whole, study.speeds.hover_speeds)
    for stem, data in images.items():
        _write(out, f"pictures/{stem}.png", data)
    for stem, text in figures.items():
        _write(out, f"pictures/{stem}.svg", text)
    _write(out, "report.html", report_html(study, images, figures, verified, planned=planned))


def _write_drawings(study: Study, out: Path) -> None:
    for name, data in drawing_files(study).items():
        _write(out, name, data)


def _write_book(study: Study, out: Path) -> None:
    cover = (out / "pictures" / "assembly.png").read_bytes()
    for name, data in book_files(study, cover).items():
        _write(out, name, data)


def _write_urdf(study: Study, out: Path) -> None:
    _write(out, "airframe.urdf", urdf_text(study))


def _write_repair(study: Study, calibration: Calibration | None, out: Path) -> None:
    _write(out, REPAIR, repair_json(study, calibration))


def _mark(study: Study, fresh: Path) -> tuple[str, ...]:
    """List every file with its SHA-256 in the marker; the same study gives the same marker."""
    paths = sorted(p for p in fresh.rglob("*") if p.is_file())
    sums = {
        p.relative_to(fresh).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest() for p in paths
    }
    marker = {"kind": _KIND, "schema": 1, "version": study.version, "files": sums}
    _write(fresh, MARKER, json.dumps(marker, indent=1, sort_keys=True) + "\n")
    return tuple(sorted([*sums, MARKER]))
