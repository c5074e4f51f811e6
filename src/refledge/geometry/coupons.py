"""Test pieces to print: bars, torsion bar, interlayer piece, insert block, cube, fit piece, arm.

Each is drawn lying along x and turned for printing by its own rotation.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refledge.errors import GeometryError
from refledge.geometry import kernel as solid_kernel
from refledge.geometry.arm import make_arm
from refledge.geometry.drill import INSERT_SPACE, insert_of, screw_of
from refledge.geometry.fit_piece import fit_piece
from refledge.geometry.kernel import Solid
from refledge.geometry.port import Kernel
from refledge.geometry.poses import print_pose
from refledge.geometry.profile import circle, rectangle, rounded
from refledge.model.fasteners import Hardware
from refledge.model.materials import MaterialCard
from refledge.model.parts import ArmDesign, FrameDesign
from refledge.model.results import PartSpec
from refledge.typed import Floats

BAR = (80e-3, 10e-3, 4e-3)
"""m; the preferred bar of ISO 178 (recalled, standard not read)."""
TORSION = (120e-3, 10e-3, 10e-3)
"""m; ours: square, so that layers matter alike in both directions, long against its grips."""
TORSION_HOLE = (5e-3, 10e-3)
"""Diameter of the lever's hole and its distance from the end, m: ours."""
CUBE = 20e-3
"""m; ours: wide enough that caliper errors of 0.02 mm stay under 0.1 % a side."""
NECK = (6e-3, 6e-3, 20e-3)
"""Interlayer piece: width, thickness and length of its neck, m: ours."""
HEAD = (20e-3, 24e-3, 6.4e-3, 8e-3)
"""Interlayer piece: width and length of a head, hole for the hook, radius to the neck, m: ours."""
BLOCK = 24e-3
"""Side of the insert block, m: ours, room for a bridge to hold it down around the insert."""
HOLE_ALLOWANCE = 2e-4
"""m, on the diameter of printed holes where no brief says otherwise; its default: common practice,
no source."""
SHORT_ARM = "short-arm"
"""Key of the one piece that needs a frame."""
SOLID = "printed solid (100 % infill), no scaling"
_PAST = 1e-3  # cutters reach this far beyond what they cut, m

_FLAT: Floats = np.eye(3)
_EDGE: Floats = np.array([[1.0, 0, 0], [0, 0, -1.0], [0, 1.0, 0]])
_UPRIGHT: Floats = np.array([[0, 0, -1.0], [0, 1.0, 0], [1.0, 0, 0]])
TURNS: Mapping[str, Floats] = {"flat": _FLAT, "edge": _EDGE, "upright": _UPRIGHT}
"""Rotation (3, 3) from the piece's axes to the bed, by orientation."""
_NOTES = {
    "flat": "wide face down",
    "edge": "narrow long face down",
    "upright": "standing on its end, with a brim of 8 mm",
}


@dataclass(frozen=True, eq=False)
class Coupon:
    """One test piece, ready to print."""

    key: str
    name: str
    procedure: str
    """Key of the procedure that goes with it."""
    quantity: int
    """How many to print for one test."""
    solid: Solid
    rotation: Floats
    """(3, 3), to the bed."""
    note: str


def coupon_keys() -> tuple[str, ...]:
    """Keys of all pieces but the short arm, which needs a frame."""
    return tuple(_MAKERS)


def coupon_title(key: str) -> tuple[str, int]:
    """What the piece is, and how many to print for one test."""
    title, _, quantity, _ = _MAKERS[key]
    return title, quantity


def make_coupon(
    key: str,
    hardware: Hardware,
    kernel: Kernel = solid_kernel,
    *,
    screw: str = "M3",
    hole_allowance: float = HOLE_ALLOWANCE,
) -> Coupon:
    """One piece by key; insert block and fit piece take the thread, the block the allowance (m)."""
    if key not in _MAKERS:
        raise GeometryError(f"no test piece {key!r}; known: {', '.join(_MAKERS)}, {SHORT_ARM}")
    name, procedure, quantity, turn = _MAKERS[key]
    if procedure == "insert-pull":
        solid = _insert_block(hardware, screw, hole_allowance, kernel)
        name = f"{screw} {name}"
    elif procedure == "fit":
        solid = fit_piece(screw_of(hardware, screw), kernel)
        name = f"{screw} {name}"
    else:
        solid = _SHAPES[procedure](kernel)
    solid = kernel.checked(solid, name)
    return Coupon(key, name, procedure, quantity, solid, TURNS[turn], _NOTES[turn])


def short_arm(
    frame: FrameDesign,
    hardware: Hardware,
    span: float,
    kernel: Kernel = solid_kernel,
) -> tuple[ArmDesign, Coupon]:
    """The frame's own printed arm with its free span cut to about ``span`` (m), and its design.

    Root block, tenon, section and taper stay; ribs and panels keep their pitch, so the span is a
    whole number of them. The joint of an arm in two parts is left out.
    """
    arm = frame.arm
    if arm.family == "tube":
        raise GeometryError("a tube is cut, not printed: saw off a length for the bench")
    if arm.pitch > 0:
        span = max(1, round(span / arm.pitch)) * arm.pitch
    if not 0 < span <= arm.span + 1e-9:
        given, most = f"{span * 1e3:.0f} mm", f"{arm.span * 1e3:.0f} mm"
        raise GeometryError(f"short arm: a span of {given}; the arm has {most}")
    cut = replace(
        arm, length=arm.root_length + span + arm.tenon_length, split=0.0, lap=0.0, lap_screw=""
    )
    whole = replace(frame, arm=cut)
    solid = make_arm(cut, whole, hardware, kernel)
    rotation, note = print_pose("arm", whole)
    which = "short" if cut.span < arm.span - 1e-9 else "whole"
    name = f"{which} {arm.family} arm, {span * 1e3:.0f} mm of span"
    key = f"{SHORT_ARM}-{arm.family}"
    return cut, Coupon(key, name, "cantilever", 2, solid, rotation, note)


def coupon_spec(
    coupon: Coupon,
    card: MaterialCard,
    bed: tuple[float, float, float],
    *,
    settings: str = SOLID,
    mass: float | None = None,
) -> PartSpec:
    """What the writers of STEP and 3MF want; ``bed`` length, width, height, m.

    ``mass`` (kg) as printed with ``settings``; the solid's own where it is not given.
    """
    ends = np.array(np.meshgrid(*solid_kernel.bounds(coupon.solid).T)).reshape(3, -1).T
    size = np.ptp(ends @ coupon.rotation.T, axis=0)
    volume = solid_kernel.volume(coupon.solid)
    return PartSpec(
        key=coupon.key,
        name=coupon.name,
        quantity=coupon.quantity,
        material=card.key,
        printed=True,
        volume=volume,
        mass=volume * card.rho.value if mass is None else mass,
        size=(float(size[0]), float(size[1]), float(size[2])),
        print_rotation=coupon.rotation,
        print_note=f"{coupon.note}; {settings}",
        fits_bed=bool(np.all(size <= np.array(bed))),
    )


def _bar(kernel: Kernel) -> Solid:
    return _block(BAR, kernel)


def _block(size: tuple[float, float, float], kernel: Kernel) -> Solid:
    length, width, height = size
    return kernel.box((0.0, -width / 2, 0.0), (length, width / 2, height))


def _torsion_bar(kernel: Kernel) -> Solid:
    """A square bar with a hole across it for the lever, near one end."""
    length, _, height = TORSION
    diameter, end = TORSION_HOLE
    hole = kernel.cone((length - end, 0.0, -_PAST), diameter, diameter, height + 2 * _PAST)
    return kernel.cut(_block(TORSION, kernel), hole)


def _cube(kernel: Kernel) -> Solid:
    return _block((CUBE, CUBE, CUBE), kernel)


def _layer_piece(kernel: Kernel) -> Solid:
    """Two heads with holes for hooks and a neck between; its flat outline lies in x and y."""
    neck, thickness, run = NECK
    width, head, hole, radius = HEAD
    start, end = head + radius, head + radius + run
    full = end + radius + head
    a, b = neck / 2, width / 2
    upper = [(0.0, b), (head, b), (start, a), (end, a), (end + radius, b), (full, b)]
    points = [*((x, -y) for x, y in upper), *reversed(upper)]
    radii = [2e-3, radius / 2, radius, radius, radius / 2, 2e-3] * 2
    outline = rounded(points, radii)
    holes = [circle((head / 2, 0.0), hole), circle((full - head / 2, 0.0), hole)]
    return kernel.extrude(outline, 0.0, thickness, holes)


def _insert_block(hardware: Hardware, screw: str, hole_allowance: float, kernel: Kernel) -> Solid:
    """A block with the pocket that the airframe's own seat has."""
    insert = insert_of(hardware, screw)
    depth, hole = insert.length + INSERT_SPACE, insert.hole_diameter + hole_allowance
    height = depth + 3e-3
    half = BLOCK / 2
    outline = rounded(rectangle(-half, half, -half, half), 2e-3)
    pocket = kernel.cone((0.0, 0.0, height - depth), hole, hole, depth + _PAST)
    return kernel.cut(kernel.extrude(outline, 0.0, height), pocket)


_SHAPES = {
    "bend": _bar,
    "torsion": _torsion_bar,
    "layer-pull": _layer_piece,
    "density": _cube,
}
_MAKERS: Mapping[str, tuple[str, str, int, str]] = {
    "bar-flat": ("bar printed flat", "bend", 3, "flat"),
    "bar-edge": ("bar printed on edge", "bend", 3, "edge"),
    "bar-upright": ("bar printed upright", "bend", 3, "upright"),
    "torsion-flat": ("torsion bar printed flat", "torsion", 2, "flat"),
    "torsion-upright": ("torsion bar printed upright", "torsion", 2, "upright"),
    "layer-pull": ("interlayer tension piece", "layer-pull", 5, "upright"),
    "insert-block": ("insert block", "insert-pull", 5, "flat"),
    "cube": ("density cube", "density", 2, "flat"),
    "fit": ("fit piece", "fit", 2, "flat"),
}
"""Name, procedure, how many, orientation."""
