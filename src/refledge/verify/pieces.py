"""Every part with the faces at which others hold it, and every copy in its place."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from refledge.errors import AnalysisError
from refledge.geometry.features import part_features
from refledge.geometry.hinge import root_bolts
from refledge.geometry.named import Bore, Features
from refledge.geometry.named import Plane as FlatFace
from refledge.solids.part import PrintedBody
from refledge.solids.regions import Plane, Region, Ring
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify import named, pressed
from refledge.verify.beam_forces import bolt_rows
from refledge.verify.plastics import printed_body

MOTOR, CONTROLLER, BELLY = "motor", "controller", "belly"
"""Ports that carry items."""
_SAME = 1e-4  # m: two bolt faces as near as this are one joint; layouts round to 0.1 mm


@dataclass(frozen=True, eq=False)
class Piece:
    """A distinct part: its solid and its ports, each a face that a neighbour or an item is on."""

    key: str
    body: PrintedBody
    ports: dict[str, Region]

    @property
    def bolted(self) -> tuple[str, ...]:
        """Ports that a neighbour is pressed to."""
        return tuple(name for name in self.ports if name not in (MOTOR, CONTROLLER, BELLY))


@dataclass(frozen=True, eq=False)
class Place:
    """One copy of a piece in body axes."""

    name: str
    key: str
    rotation: Floats
    """(3, 3)."""
    at: Floats
    """(3,), m."""


def pieces(study: Study) -> tuple[Piece, ...]:
    """All distinct parts. Raises AnalysisError for a frame with tubes or a damped seat.

    A split arm or leg is taken in one piece: its joint is judged by its bolts' own checks. A mast
    or a holder is a mass on the seat: its own checks judge it.
    """
    if study.frame.arm.family == "tube":
        raise AnalysisError(
            "arms of tube are not joined as solids: friction, not bolts, holds a tube in its "
            "blocks; their beam is exact and the frame's modes come from it"
        )
    if study.frame.seat.rise:
        raise AnalysisError(
            "a damped seat is not joined as a solid: rubber carries it, whose stiffness the brief "
            "states; the frame's modes come from the beams and the seat's from its own checks"
        )
    makers = {
        "arm": _arm, "mount": _mount, "upper_plate": _upper_plate, "lower_plate": _lower_plate,
        "leg": _leg, "tray": _tray, "seat": _seat,
    }  # fmt: skip
    return tuple(Piece(key, printed_body(study, key), make(study)) for key, make in makers.items())


GUARDS = ("guard", "guard_left", "guard_right")
"""They ride as masses on their motors."""
SMALL = (
    "mast", "cover", "receiver_holder", "antenna_holder", "foot", "rail", "carrier", "skid",
    "skid_front", "skid_rear",
)  # fmt: skip
"""Parts that are not solved as solids: they ride as masses."""
LEFT_OUT = ("arm_outer", "leg_lower", "clip", *GUARDS, *SMALL)
"""Parts without a piece of their own: they ride as masses, or belong to another piece."""


def places(study: Study) -> tuple[Place, ...]:
    """Every copy of every piece."""
    found = []
    for each in study.assembly.placements:
        if each.group == "part" and each.key not in LEFT_OUT:
            key = {"arm_inner": "arm", "leg_upper": "leg"}.get(each.key, each.key)
            found.append(Place(each.name, key, each.rotation, each.translation))
    return tuple(found)


def met(
    made: tuple[Piece, ...], put: tuple[Place, ...]
) -> tuple[tuple[tuple[str, str], tuple[str, str]], ...]:
    """Pairs of (copy, port) that lie on each other; AnalysisError for a port that meets none."""
    by_key = {piece.key: piece for piece in made}
    names, points = [], []
    for place in put:
        for port in by_key[place.key].bolted:
            names.append((place.name, port))
            points.append(place.rotation @ _middle(by_key[place.key].ports[port]) + place.at)
    where = np.array(points)
    apart = np.linalg.norm(where[:, None] - where[None], axis=2) + np.eye(len(where))
    pairs = []
    for row, name in enumerate(names):
        partners = np.flatnonzero(apart[row] < _SAME)
        if len(partners) != 1:
            raise AnalysisError(f"{name[1]} of {name[0]} touches {len(partners)} parts, not one")
        if row < partners[0]:
            pairs.append((name, names[partners[0]]))
    return tuple(pairs)


def _middle(region: Region) -> Floats:
    if isinstance(region, Ring):
        return np.array(region.centre)
    if isinstance(region, Plane):
        return np.array(region.point)
    raise AnalysisError("parts are joined at rings and level faces only")


def _rings(features: Features, bore: str, port: str, outer: float, end: int) -> Iterator[
    tuple[str, Region]
]:  # fmt: skip
    """Rings of ``outer`` radius, m, at one mouth of all bores, named ``port`` 1, 2 and so on."""
    mine = [name for name in features if name.startswith(f"{bore}_")]
    for number, name in enumerate(mine, 1):
        (ring,) = named.rings({name: features[name]}, bore, outer, (end,))
        yield f"{port} {number}", ring


def _arm(study: Study) -> dict[str, Region]:
    frame, hardware = study.frame, study.task.hardware
    features = part_features("arm", frame, hardware)
    grip, seat = pressed.clamp_patch(frame, hardware), pressed.mount_patch(frame, hardware)
    found = dict(_rings(features, "clamp_bore", "upper plate", grip, 1))
    found |= _rings(features, "clamp_bore", "lower plate", grip, -1)
    found |= _rings(features, "tenon_bore", "mount", seat, 1)
    if frame.mount.per_arm == 2:
        found |= _rings(features, "tenon_bore", "lower mount", seat, -1)
    return found


def _mount(study: Study) -> dict[str, Region]:
    frame, hardware = study.frame, study.task.hardware
    features = part_features("mount", frame, hardware)
    seat = pressed.mount_patch(frame, hardware)
    found = dict(_rings(features, "mount_bolt", "arm", seat, -1))
    return found | {MOTOR: named.region(features["motor_seat"])}


def _upper_plate(study: Study) -> dict[str, Region]:
    frame, hardware = study.frame, study.task.hardware
    features = part_features("upper_plate", frame, hardware, study.layout)
    grip = pressed.clamp_patch(frame, hardware)
    found = dict(_rings(features, "clamp_bore", "arm", grip, -1))
    return found | dict(_rings(features, "seat_bore", "seat", pressed.seat_patch(frame), 1))


def _lower_plate(study: Study) -> dict[str, Region]:
    frame, hardware = study.frame, study.task.hardware
    features = part_features("lower_plate", frame, hardware, study.layout)
    grip, tray = pressed.clamp_patch(frame, hardware), pressed.tray_patch(frame, hardware)
    found = dict(_rings(features, "clamp_bore", "arm", grip, 1))
    found |= _rings(features, "tray_bore", "tray", tray, -1)
    bores = [name for name in features if name.startswith("clamp_bore_")]
    _, outer = bolt_rows(frame)
    each = len(root_bolts(frame))
    legs = {bores[each * arm + row]: features[bores[each * arm + row]]
            for arm in frame.leg.arms for row in outer}  # fmt: skip
    found |= dict(_rings(legs, "clamp_bore", "leg", _leg_radius(study), -1))
    return found | dict(_rings(features, "leg_bore", "leg beside pivot", _leg_radius(study), -1))


def _leg(study: Study) -> dict[str, Region]:
    features = part_features("leg", study.frame, study.task.hardware)
    return dict(_rings(features, "flange_bore", "plate", _leg_radius(study), 1))


def _leg_radius(study: Study) -> float:
    flange = part_features("leg", study.frame, study.task.hardware)["flange_top"]
    assert isinstance(flange, FlatFace)
    back = flange.outline.length / 2 - flange.origin[0]  # type: ignore[union-attr]
    return pressed.leg_patch(study.frame, study.task.hardware, back)


def _tray(study: Study) -> dict[str, Region]:
    frame, hardware = study.frame, study.task.hardware
    features = part_features("tray", frame, hardware)
    radius = pressed.tray_patch(frame, hardware)
    floor = Plane((0.0, 0.0, -frame.tray.hang), (0.0, 0.0, 1.0))
    return dict(_rings(features, "screw_bore", "plate", radius, 1)) | {BELLY: floor}


def _seat(study: Study) -> dict[str, Region]:
    """The feet are whole faces: the posts end there."""
    features = part_features("seat", study.frame, study.task.hardware)
    reach = study.frame.seat.post_diameter / 2 + 1e-4
    found: dict[str, Region] = {CONTROLLER: named.level(features["top"])}
    for number, bore in enumerate(
        (each for name, each in features.items() if name.startswith("foot_bore_")), 1
    ):
        assert isinstance(bore, Bore)
        x, y, _ = bore.centre
        low, high = (x - reach, y - reach, -1.0), (x + reach, y + reach, 1.0)
        found[f"plate {number}"] = Plane((x, y, 0.0), (0.0, 0.0, 1.0), low, high)
    return found
