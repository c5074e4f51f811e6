"""The surface of a part as its print files carry it: bevelled at the foot, holes roofed."""

from collections.abc import Hashable
from weakref import WeakKeyDictionary

from refledge.geometry.features import part_features
from refledge.geometry.kernel import MeshSolid, Solid, tessellate
from refledge.geometry.parts import make_parts
from refledge.geometry.printable import Printable, printable
from refledge.model.results import PartSpec, TriMesh
from refledge.study import Study
from refledge.units import show

_MADE: WeakKeyDictionary[Solid, dict[Hashable, tuple[Printable, TriMesh]]] = WeakKeyDictionary()


def print_mesh(study: Study, spec: PartSpec) -> TriMesh:
    """Surface in the axes of the part, m, changed for the pose that ``spec`` lies in."""
    return _made(study, spec)[1]


def bevel_of(study: Study, spec: PartSpec) -> float:
    """Bevel round the part's foot in its print files, m; 0 where there is none."""
    return _made(study, spec)[0].bevel


def foot_notes(study: Study) -> tuple[str, ...]:
    """A sentence for each part whose foot could not be bevelled as far as it should be."""
    made = [(spec, _made(study, spec)[0]) for spec in study.parts if spec.printed]
    return tuple(_foot_note(spec, each) for spec, each in made if each.bevel < each.wanted)


def _foot_note(spec: PartSpec, made: Printable) -> str:
    wanted = show(made.wanted, "m", "mm", 2)
    if not made.bevel:
        return (
            f"The {spec.name}'s edges on the bed are drawn sharp: no bevel of {wanted} or a "
            "quarter of it can be built there. Cut what the first layer spreads off with a knife."
        )
    return (
        f"The {spec.name}'s edges on the bed are bevelled by {show(made.bevel, 'm', 'mm', 2)}, "
        f"there being no room for {wanted}: a little of the first layer's spread may stay."
    )


def _made(study: Study, spec: PartSpec) -> tuple[Printable, TriMesh]:
    """Worked out once for each solid and pose."""
    solids, hardware = study.solids, study.task.hardware
    if spec.key not in solids:  # a study that came through bytes
        solids = make_parts(study.frame, study.layout, hardware)
    known = _MADE.setdefault(solids[spec.key], {})
    printer = study.brief.printer
    spread, layer = printer.first_layer_spread, printer.layer
    pose = (spec.print_rotation.tobytes(), spread, layer)
    solid = solids[spec.key]
    if pose not in known and isinstance(solid, MeshSolid):  # printed as it was grown
        wanted = spread + layer / 2 if spread > 0 else 0.0
        known[pose] = (Printable(solid, 0.0, wanted, 0), solid.mesh)
    if pose not in known:
        features = part_features(spec.key, study.frame, hardware, study.layout)
        made = printable(solids[spec.key], features, spec.print_rotation, spread, layer)
        known[pose] = (made, tessellate(made.solid))
    return known[pose]
