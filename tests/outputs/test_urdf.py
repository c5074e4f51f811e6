"""URDF and STEP against libraries that had no part in writing them."""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import trimesh
import yourdfpy

from refledge.geometry.kernel import moments, write_step
from refledge.geometry.kernel.library import occ, parts_of
from refledge.outputs.palette import rgb_of
from refledge.outputs.printed import print_mesh
from refledge.outputs.urdf import bodies, urdf_text
from refledge.study import Study
from refledge.typed import Floats
from tests.outputs.drawing_parts import bracket, pipe

# Runs in a process of its own: the mesher's modelling library and ours cannot share one.
_SECOND_KERNEL = (
    "import json, sys; from netgen.occ import OCCGeometry; "
    "print(json.dumps([[s.mass, len(s.faces)] for p in sys.argv[1:] "
    "for s in [OCCGeometry(p).shape.solids[0]]]))"
)


@pytest.fixture(scope="module")
def robot(built: Path) -> yourdfpy.URDF:
    return yourdfpy.URDF.load(str(built / "airframe.urdf"), load_meshes=True)


def _world(robot: yourdfpy.URDF) -> list[tuple[float, Floats, Floats]]:
    """Mass, centre and inertia about it of every link, in the root's axes."""
    found = []
    for name, link in robot.link_map.items():
        if link.inertial is None:
            continue
        pose = robot.get_transform(name) @ link.inertial.origin
        turn = pose[:3, :3]
        found.append((link.inertial.mass, pose[:3, 3], turn @ link.inertial.inertia @ turn.T))
    return found


def test_it_loads_and_weighs_what_the_links_weigh(robot: yourdfpy.URDF, study: Study) -> None:
    total = sum(mass for mass, _, _ in _world(robot))
    items = sum(lump.mass for lump in study.assessment.lumps if not lump.part)
    copies = {s.key: sum(p.key == s.key for p in study.assembly.placements) for s in study.parts}
    printed = sum(s.mass * copies[s.key] for s in study.parts)
    assert total == pytest.approx(items + printed, rel=1e-7)


def test_inertia_is_that_of_meshes_and_lumps(robot: yourdfpy.URDF, study: Study) -> None:
    """About the origin: parts by the mesh library from their triangles, items as they stand."""
    found = sum(
        (i + m * ((c @ c) * np.eye(3) - np.outer(c, c)) for m, c, i in _world(robot)),
        np.zeros((3, 3)),
    )
    wanted = np.zeros((3, 3))
    for place in study.assembly.placements:
        if place.group == "part":
            spec = next(s for s in study.parts if s.key == place.key)
            wanted += _by_mesh(study, place.key, place.rotation, place.translation, spec.mass)
    for lump in study.assessment.lumps:
        if not lump.part:
            c = lump.centre
            wanted += lump.inertia + lump.mass * ((c @ c) * np.eye(3) - np.outer(c, c))
    slung = next(lump for lump in study.assessment.lumps if not lump.fixed)
    assert np.abs(found - wanted).max() < 0.012 * slung.mass * float(slung.centre @ slung.centre)
    assert found[2, 2] == pytest.approx(wanted[2, 2], rel=2e-3)  # the line hangs on the axis


def _by_mesh(study: Study, key: str, turn: Floats, shift: Floats, mass: float) -> Floats:
    own = study.assembly.meshes[key]
    mesh = trimesh.Trimesh(own.vertices @ turn.T + shift, own.triangles)
    mesh.density = mass / mesh.volume
    c = np.asarray(mesh.center_mass)
    about: Floats = mesh.moment_inertia + mass * ((c @ c) * np.eye(3) - np.outer(c, c))
    return about


def test_rotors_turn_about_their_own_axes(robot: yourdfpy.URDF, study: Study) -> None:
    spinning = {n: j for n, j in robot.joint_map.items() if j.type == "continuous"}
    assert len(spinning) == study.layout.n_rotors
    for k, spin in enumerate(study.layout.spin):
        name = f"rotor_{k + 1}_{'ccw' if spin > 0 else 'cw'}"
        joint = spinning[f"to_{name}"]
        assert joint.origin[:3, 3] == pytest.approx(study.layout.positions[k])
        assert list(joint.axis) == [0, 0, spin]


def test_surfaces_stand_where_the_parts_do(robot: yourdfpy.URDF, study: Study) -> None:
    """The build's STL, turned back and scaled, against the placed triangles."""
    for place in study.assembly.placements:
        if place.group != "part":
            continue
        link = place.name.replace(" ", "_")
        (visual,) = robot.link_map[link].visuals
        pose = robot.get_transform(link) @ visual.origin
        stl = trimesh.load(
            Path(robot._filename_handler(visual.geometry.mesh.filename)), force="mesh"
        )
        placed = 1e-3 * stl.vertices @ pose[:3, :3].T + pose[:3, 3]
        spec = next(each for each in study.parts if each.key == place.key)
        wanted = print_mesh(study, spec).vertices @ place.rotation.T + place.translation
        assert placed.min(axis=0) == pytest.approx(wanted.min(axis=0), abs=1e-6)
        assert placed.max(axis=0) == pytest.approx(wanted.max(axis=0), abs=1e-6)


def test_names_are_plain_and_unique(study: Study) -> None:
    names = [body.name for body in bodies(study)]
    assert len(names) == len(set(names))
    assert all(name.isascii() and name.replace("_", "").isalnum() for name in names)
    assert urdf_text(study) == urdf_text(study)


def _documents(path: Path):  # type: ignore[no-untyped-def]
    text = occ.TCollection.TCollection_ExtendedString("XmlOcaf")
    document = occ.TDocStd.TDocStd_Document(text)
    reader = occ.STEPCAFControl.STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    reader.ReadFile(str(path))
    assert reader.Transfer(document)
    tools = occ.XCAFDoc.XCAFDoc_DocumentTool
    return document, tools.ShapeTool_s(document.Main()), tools.ColorTool_s(document.Main())


def _names(labels) -> list[str]:  # type: ignore[no-untyped-def]
    found = []
    for k in range(1, labels.Length() + 1):
        name = occ.TDataStd.TDataStd_Name()
        assert labels.Value(k).FindAttribute(occ.TDataStd.TDataStd_Name.GetID_s(), name)
        found.append(name.Get().ToExtString())
    return found


def test_the_assembly_keeps_names_structure_and_colours(built: Path, study: Study) -> None:
    document, shapes, paint = _documents(built / "assembly.step")
    roots = occ.collections.Sequence_TDF_Label()
    shapes.GetFreeShapes(roots)
    assert _names(roots) == [study.brief.title]
    parts = occ.collections.Sequence_TDF_Label()
    shapes.GetComponents_s(roots.Value(1), parts)
    placed = [p for p in study.assembly.placements if p.group == "part"]
    assert _names(parts) == [p.name for p in placed]
    kinds = {p.name: p.key for p in placed}
    seen = {}
    for k, name in enumerate(_names(parts), 1):
        shape = shapes.GetShape_s(parts.Value(k))
        prototype = occ.TDF.TDF_Label()
        shapes.GetReferredShape_s(parts.Value(k), prototype)
        colour = occ.Quantity.Quantity_Color()
        kind = occ.XCAFDoc.XCAFDoc_ColorType.XCAFDoc_ColorSurf
        whole = shapes.GetShape_s(prototype)
        assert paint.GetColor(whole, kind, colour) or paint.GetColor(shape, kind, colour)
        rgb = colour.Values(occ.Quantity.Quantity_TypeOfColor.Quantity_TOC_sRGB)
        seen[kinds[name]] = rgb
    for key in ("arm", "mount", "leg"):
        assert seen[key] == pytest.approx(rgb_of(key, "part"), abs=2e-3)
    assert document is not None


def test_a_second_kernel_reads_the_same_bodies(tmp_path: Path) -> None:
    solids = {"bracket": bracket(), "pipe": pipe()}
    paths = []
    for name, solid in solids.items():
        paths.append(tmp_path / f"{name}.step")
        write_step({name: solid}, paths[-1], colours={name: (0.2, 0.4, 0.6)})
    answer = subprocess.run(
        [sys.executable, "-c", _SECOND_KERNEL, *map(str, paths)],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    for (name, solid), (size, faces) in zip(
        solids.items(), json.loads(answer.stdout.splitlines()[-1]), strict=True
    ):
        assert size * 1e-9 == pytest.approx(moments(solid).size, rel=1e-9)
        assert faces == len(parts_of(solid.shape, "FACE")) > 6, name


@pytest.mark.parametrize("make", [bracket, pipe])
def test_mass_properties_agree_with_the_mesh_library(make) -> None:  # type: ignore[no-untyped-def]
    """Volume, centre, second moments of the triangles to a thousandth of the solid's."""
    from refledge.geometry.kernel import tessellate  # noqa: PLC0415

    solid, mesh = moments(make()), tessellate(make())
    other = trimesh.Trimesh(mesh.vertices, mesh.triangles)
    assert other.is_watertight
    assert other.volume == pytest.approx(solid.size, rel=1e-3)
    assert other.center_mass == pytest.approx(solid.centroid, abs=2e-5)
    assert np.diag(other.moment_inertia) == pytest.approx(np.diag(solid.second), rel=1e-3)
