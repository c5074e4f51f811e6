"""Files for printers and for drawing: read back by other programs' readers."""

import io
from dataclasses import replace
from pathlib import Path

import ezdxf
import lib3mf
import numpy as np
import pytest
import trimesh
from markupsafe import escape

from refledge.errors import BuildError
from refledge.geometry.kernel import box as box_solid
from refledge.geometry.kernel import cone, contours, cut, read_step, volume
from refledge.geometry.profile import Segment
from refledge.model.results import TriMesh
from refledge.outputs.book.making import printing
from refledge.outputs.drawings import drawings
from refledge.outputs.dxf import dxf_text, flat_dxf
from refledge.outputs.printed import bevel_of, foot_notes, print_mesh
from refledge.outputs.report import report_html
from refledge.outputs.stl import stl_bytes
from refledge.outputs.threemf import threemf_bytes
from refledge.study import Study
from tests.outputs.shapes import box

KEYS = ("arm", "upper_plate", "lower_plate", "mount", "leg")


def _read_strictly(path: Path) -> lib3mf.Model:
    model = lib3mf.get_wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    warnings = [reader.GetWarning(k) for k in range(reader.GetWarningCount())]
    assert warnings == []
    return model


@pytest.mark.parametrize("key", KEYS)
def test_3mf_reads_strictly_without_warnings(built: Path, key: str) -> None:
    model = _read_strictly(built / "parts" / f"{key}.3mf")
    assert model.GetMeshObjects().Count() == 1
    assert model.GetBuildItems().Count() == 1


def test_3mf_says_name_quantity_material_and_orientation(built: Path) -> None:
    model = _read_strictly(built / "parts" / "arm.3mf")
    meshes = model.GetMeshObjects()
    assert meshes.MoveNext()
    body = meshes.GetCurrentMeshObject()
    assert body.GetName() == "arm"
    said = body.GetMetaDataGroup()
    found = {
        said.GetMetaData(k).GetName(): said.GetMetaData(k).GetValue()
        for k in range(said.GetMetaDataCount())
    }
    assert found == {
        "quantity": "6",
        "material": "PETG",
        "orientation": "Top face down: no support.",
    }
    groups = model.GetBaseMaterialGroups()
    assert groups.MoveNext()
    group = groups.GetCurrentBaseMaterialGroup()
    assert [group.GetName(k) for k in group.GetAllPropertyIDs()] == ["PETG"]


def test_3mf_lies_on_the_bed_turned_as_it_is_printed(study: Study) -> None:
    spec = study.parts[0]
    wedge = TriMesh(  # a tetrahedron whose apex points down in part axes
        np.array([[0, 0, 0], [0.02, 0, 0], [0, 0.02, 0], [0.0, 0.0, -0.03]]),
        np.array([[0, 1, 2], [0, 3, 1], [1, 3, 2], [0, 2, 3]]),
    )
    model = lib3mf.get_wrapper().CreateModel()
    model.QueryReader("3mf").ReadFromBuffer(threemf_bytes(spec, wedge, "PETG", "0"))
    meshes = model.GetMeshObjects()
    meshes.MoveNext()
    body = meshes.GetCurrentMeshObject()
    heights = sorted(body.GetVertex(k).Coordinates[2] for k in range(body.GetVertexCount()))
    assert heights == pytest.approx([0, 0, 0, 30], abs=1e-5)


def test_3mf_of_an_open_surface_is_refused(study: Study) -> None:
    whole = box(0.01, 0.01, 0.01, (0, 0, 0))
    with pytest.raises(BuildError, match="closed"):
        threemf_bytes(study.parts[0], TriMesh(whole.vertices, whole.triangles[1:]), "PETG", "0")


@pytest.mark.parametrize("key", KEYS)
def test_stl_is_watertight_and_keeps_the_volume(built: Path, study: Study, key: str) -> None:
    """That of the part as printed: with its foot bevelled by 0.3 mm, which takes up to 3 %."""
    found = trimesh.load(built / "parts" / f"{key}.stl", file_type="stl")
    spec = next(each for each in study.parts if each.key == key)
    mesh = print_mesh(study, spec)
    assert 0.97 < found.volume / (volume(study.solids[key]) * 1e9) < 1.0 - 5e-5
    assert bevel_of(study, spec) == pytest.approx(3e-4)
    true = trimesh.Trimesh(mesh.vertices, mesh.triangles, process=False)
    assert found.is_watertight
    assert found.is_winding_consistent
    # single precision of coordinates in mm: 1e-7 relative, times a few
    assert found.volume == pytest.approx(true.volume * 1e9, rel=1e-5)
    assert found.bounds[0] == pytest.approx([0, 0, 0], abs=1e-6)


def test_a_bevel_without_room_is_smaller_and_told(
    study: Study, monkeypatch: pytest.MonkeyPatch
) -> None:
    """0.3 mm from both sides of a rib 0.5 mm wide, and of one 0.1 mm wide; turned, x is up."""
    ribs = {"mount": 0.25e-3, "leg": 0.05e-3}
    bodies = {key: box_solid((0, -half, 0), (0.01, half, 0.02)) for key, half in ribs.items()}
    upright = [replace(each, print_rotation=np.eye(3)) for each in study.parts]
    narrow = replace(study, solids={**study.solids, **bodies}, parts=tuple(upright))
    assert foot_notes(study) == ()
    mount, leg = foot_notes(narrow)
    assert "mount's edges on the bed are bevelled by 0.15 mm" in mount
    assert "0.30 mm" in mount
    assert "leg's edges on the bed are drawn sharp" in leg
    stems = ["assembly", "assembly-top", "assembly-side", *(f"part-{p.key}" for p in study.parts)]
    page = report_html(narrow, dict.fromkeys(stems, b"png"), drawings(study))
    assert str(escape(mount)) in page
    assert str(escape(leg)) in page
    with monkeypatch.context() as patch:
        patch.setattr("refledge.outputs.book.making.part_picture", lambda *_: b"png")
        (settings,) = [b for b in printing(narrow).blocks if "perimeters" in str(b)]
    assert mount.removesuffix(".") in str(settings)
    assert leg.removesuffix(".") in str(settings)


def test_stl_normals_point_outwards(study: Study) -> None:
    data = stl_bytes(study.parts[0], study.assembly.meshes["arm"])
    record = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    faces = np.frombuffer(data[84:], dtype=record)
    middle = faces["corners"].reshape(-1, 3).mean(axis=0)
    outwards = np.einsum("ij,ij->i", faces["normal"], faces["corners"].mean(axis=1) - middle)
    assert len(faces) == 12
    assert np.all(outwards > 0)


@pytest.mark.parametrize("key", KEYS)
def test_step_keeps_the_volume(built: Path, study: Study, key: str) -> None:
    (found,) = read_step(built / "parts" / f"{key}.step")
    assert volume(found) == pytest.approx(volume(study.solids[key]), rel=1e-6)


def test_assembly_step_holds_every_part_in_its_place(built: Path, study: Study) -> None:
    parts = [each for each in study.assembly.placements if each.group == "part"]
    found = read_step(built / "assembly.step")
    assert len(found) == len(parts)
    together = sum(volume(study.solids[each.key]) for each in parts)
    assert sum(map(volume, found)) == pytest.approx(together, rel=1e-6)


def test_plates_are_drawn_flat_and_the_drawing_is_sound(built: Path) -> None:
    drawing = ezdxf.readfile(built / "flat" / "upper_plate.dxf")
    assert not drawing.audit().errors
    circles = {
        (c.dxf.layer, round(c.dxf.radius, 6), round(c.dxf.center.x, 6))
        for c in drawing.modelspace().query("CIRCLE")
    }
    assert circles == {("OUTLINE", 74.0, 0.0), ("HOLES", 20.0, 0.0), ("HOLES", 1.7, 50.0)}
    assert drawing.units == ezdxf.units.MM
    used = drawing.entitydb.dxf_types_in_use()
    names = [each.dxf.name for each in drawing.classes if each.dxf.name in used]
    assert len(names) > 1
    assert names == sorted(names)  # the library's own order changes from run to run


def test_a_part_that_is_not_of_one_thickness_has_no_flat_drawing(study: Study) -> None:
    bumpy = TriMesh(
        np.array([[0, 0, 0], [0.02, 0, 0], [0, 0.02, 0.002], [0.0, 0.0, 0.03]]),
        np.array([[0, 2, 1], [0, 1, 3], [1, 2, 3], [0, 3, 2]]),
    )
    assert flat_dxf(study.parts[1], bumpy, study.solids["upper_plate"]) is None


def test_arcs_become_bulges() -> None:
    half_round = (
        Segment((0.01, -0.005), (0.01, 0.005), (0.015, 0.0)),
        Segment((0.01, 0.005), (0.0, 0.005)),
        Segment((0.0, 0.005), (0.0, -0.005)),
        Segment((0.0, -0.005), (0.01, -0.005)),
    )
    stream = dxf_text((half_round,))
    assert stream == dxf_text((half_round,))

    (line,) = ezdxf.read(io.StringIO(stream)).modelspace().query("LWPOLYLINE")
    bulges = [b for *_, b in line.get_points("xyb")]
    assert bulges == pytest.approx([1.0, 0.0, 0.0, 0.0])  # half a turn: tan(pi/4)


def test_a_hole_cut_by_the_edge_is_no_circle() -> None:
    bitten = cut(cone((0, 0, 0), 0.1, 0.1, 0.004), cone((0.05, 0, -0.001), 0.02, 0.02, 0.006))
    text = dxf_text(contours(bitten, 0.002))
    assert "CIRCLE" not in text
    assert "LWPOLYLINE" in text
