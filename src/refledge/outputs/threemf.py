"""3MF of printed parts (ISO/IEC 25422, core specification), posed for the bed, in mm.

In the file of one part, the quantity stands in the object's metadata and in the build item's part
number, not as repeated build items, which a slicer would stack in one place.
"""

import io
import uuid
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import lib3mf

from refledge.errors import BuildError
from refledge.model.results import PartSpec, TriMesh
from refledge.outputs.palette import rgb_of
from refledge.outputs.pose import in_millimetres, on_bed
from refledge.typed import Floats, Ints

_NAMESPACE = "urn:refledge:print"
_STAMP = (1980, 1, 1, 0, 0, 0)  # the earliest time that a ZIP entry can carry
_IDENTITY = (1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0)


def threemf_bytes(spec: PartSpec, mesh: TriMesh, material: str, version: str) -> bytes:
    """One part with name, quantity, material and print pose as a 3MF package."""
    posed = on_bed(spec, mesh)
    try:
        package = _package(spec, in_millimetres(posed), posed.triangles, material, version)
    except lib3mf.ELib3MFException as error:
        raise BuildError(f"3MF of part {spec.key}: {error}") from error
    return _fixed_stamps(package)


@dataclass(frozen=True)
class Placed:
    """One copy on a plate."""

    spec: PartSpec
    copy: int
    x: float  # m, least corner
    y: float
    turned: bool
    """A quarter turn from its pose."""


def plate_bytes(
    placed: Sequence[Placed],
    meshes: Mapping[str, TriMesh],
    material: str,
    title: str,
    version: str,
) -> bytes:
    """A whole plate: every copy in its place, one object for each kind of part.

    meshes: posed for the bed with their least corner at the origin, m, by part key.
    """
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    _say(model, title, f"{material}. One print.", version)
    group = model.AddBaseMaterialGroup()
    bodies = {}
    for each in placed:
        key, mesh = each.spec.key, meshes[each.spec.key]
        if key not in bodies:
            body = model.AddMeshObject()
            body.SetName(each.spec.name)
            body.SetPartNumber(key)
            body.SetGeometry(*_geometry(in_millimetres(mesh), mesh.triangles))
            colour = wrapper.RGBAToColor(*(int(255 * c) for c in rgb_of(key, "part")), 255)
            index = group.AddMaterial(material, colour)
            body.SetObjectLevelProperty(group.GetResourceID(), index)
            _name(body, f"{key}:object")
            bodies[key] = body
        item = model.AddBuildItem(bodies[key], _transform(_put(each, mesh)))
        item.SetPartNumber(f"{key} {each.copy}")
        _name(item, f"{title}:{key}:{each.copy}")
    model.SetBuildUUID(str(uuid.uuid5(uuid.NAMESPACE_URL, f"{_NAMESPACE}:{title}")))
    writer = model.QueryWriter("3mf")
    writer.SetDecimalPrecision(6)
    return _fixed_stamps(bytes(writer.WriteToBuffer()))


def _put(each: Placed, mesh: TriMesh) -> tuple[float, ...]:
    """Rows of the 3MF transform: a quarter turn where asked, then to its corner, mm."""
    depth = float(mesh.vertices[:, 1].max())
    x, y = round(1e3 * each.x, 6), round(1e3 * each.y, 6)
    if each.turned:
        return (0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0, x + round(1e3 * depth, 6), y, 0.0)
    return (*_IDENTITY[:9], x, y, 0.0)


def _name(holder: object, name: str) -> None:
    """The library draws identities at random; these follow from names."""
    holder.SetUUID(str(uuid.uuid5(uuid.NAMESPACE_URL, f"{_NAMESPACE}:{name}")))  # type: ignore[attr-defined]


def _package(
    spec: PartSpec, vertices: Floats, triangles: Ints, material: str, version: str
) -> bytes:
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    _describe(model, spec, version)
    body = model.AddMeshObject()
    body.SetName(spec.name)
    body.SetPartNumber(spec.key)
    body.SetGeometry(*_geometry(vertices, triangles))
    if not body.IsManifoldAndOriented():
        raise BuildError(f"3MF of part {spec.key}: its surface is not closed and oriented")
    colour = wrapper.RGBAToColor(*(int(255 * c) for c in rgb_of(spec.key, "part")), 255)
    group = model.AddBaseMaterialGroup()
    body.SetObjectLevelProperty(group.GetResourceID(), group.AddMaterial(material, colour))
    _object_metadata(body.GetMetaDataGroup(), spec, material)
    item = model.AddBuildItem(body, _transform(_IDENTITY))
    item.SetPartNumber(f"{spec.key} x {spec.quantity}")
    _fixed_identities(model, body, item, spec.key)
    writer = model.QueryWriter("3mf")
    writer.SetDecimalPrecision(6)
    return bytes(writer.WriteToBuffer())


def _describe(model: object, spec: PartSpec, version: str) -> None:
    _say(model, spec.name, f"Print {spec.quantity}. {spec.print_note}", version)


def _say(model: object, title: str, text: str, version: str) -> None:
    group = model.GetMetaDataGroup()  # type: ignore[attr-defined]
    for name, value in (
        ("Title", title),
        ("Description", text),
        ("Application", f"Refledge {version}"),
    ):
        group.AddMetaData("", name, value, "xs:string", True)


def _object_metadata(group: object, spec: PartSpec, material: str) -> None:
    for name, value, kind in (
        ("quantity", str(spec.quantity), "xs:integer"),
        ("material", material, "xs:string"),
        ("orientation", spec.print_note, "xs:string"),
    ):
        group.AddMetaData(_NAMESPACE, name, value, kind, True)  # type: ignore[attr-defined]


def _geometry(vertices: Floats, triangles: Ints) -> tuple[list[object], list[object]]:
    positions, faces = [], []
    for x, y, z in vertices.tolist():
        position = lib3mf.Position()
        position.Coordinates[:] = (x, y, z)
        positions.append(position)
    for a, b, c in triangles.tolist():
        face = lib3mf.Triangle()
        face.Indices[:] = (a, b, c)
        faces.append(face)
    return positions, faces


def _transform(rows: tuple[float, ...]) -> object:
    transform = lib3mf.Transform()
    for k in range(4):
        transform.Fields[k][:] = rows[3 * k : 3 * k + 3]
    return transform


def _fixed_identities(model: object, body: object, item: object, key: str) -> None:
    for holder, what in ((body, "object"), (item, "item")):
        _name(holder, f"{key}:{what}")
    model.SetBuildUUID(  # type: ignore[attr-defined]
        str(uuid.uuid5(uuid.NAMESPACE_URL, f"{_NAMESPACE}:{key}:build"))
    )


def _fixed_stamps(package: bytes) -> bytes:
    """The same package with one fixed time on every entry."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(package)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for name in old.namelist():
            entry = zipfile.ZipInfo(name, _STAMP)
            entry.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(entry, old.read(name))
    return out.getvalue()
