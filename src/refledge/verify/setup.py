"""How each part is held and loaded on its own, from the forces that the beam frame found."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from math import pi

import numpy as np

from refledge.airframe.clamp_rings import pressed_radius, washer_area
from refledge.airframe.hinge_uses import lock_preload
from refledge.airframe.joints import LEAST_PRELOAD, WASHER_SHARE, clamp_preload
from refledge.airframe.statics import CaseResult
from refledge.analysis.joints import bolt_preload
from refledge.geometry.features import part_features
from refledge.geometry.hinge import lock_screw, root_bolts, root_screws
from refledge.model.fasteners import Screw
from refledge.solids.cases import Bedding, FaceLoad, PointMass, Pressure, SolidCase, Support
from refledge.solids.port import MeshSize, Regions
from refledge.solids.regions import Plane, Region
from refledge.study import Study
from refledge.typed import Floats
from refledge.verify import beam_forces, named

GROWN_EDGE = 2.5e-3
"""m; finer of the two meshes of a grown arm: its members of two or three voxels get an element or
two across."""
Named = dict[str, Region | tuple[Region, ...]]


@dataclass(frozen=True)
class ByHand:
    """How a part is held and loaded the other way round: statics do not care, buckling does."""

    held: str
    """The face by which it is held."""
    hung: str
    """The face on which the rest hangs."""
    centre: tuple[float, float, float]
    """Of the rest's mass, m, part axes."""


@dataclass(frozen=True, eq=False)
class Setup:
    """One part ready to be solved."""

    key: str
    regions: Regions
    supports: tuple[Support, ...]
    cases: tuple[SolidCase, ...]
    size: MeshSize
    kinds: Mapping[str, str]
    """Case name to flight, landing or handling."""
    watch: tuple[str, ...] = ()
    masses: tuple[PointMass, ...] = ()
    n_modes: int = 0
    yields: tuple[Bedding, ...] = ()
    """What holds it in place of its supports where strength is judged."""
    buckles: bool = False
    """Whether its buckling is looked for."""
    by_hand: Mapping[str, ByHand] = field(default_factory=dict)
    """Cases in which it is held by the face that is loaded, and all else hangs on its support."""
    beam: Mapping[str, float] = field(default_factory=dict)
    """Headline figures that beams give for the same, by the solid figure's name."""


def setups(study: Study) -> tuple[Setup, ...]:
    """Every printed part that can be held and loaded by itself, arms first."""
    makers: dict[str, Callable[[Study], Setup]] = {
        "arm": arm_setup,
        "mount": mount_setup,
        "upper_plate": upper_plate_setup,
        "lower_plate": lower_plate_setup,
        "leg": leg_setup,
        "tray": tray_setup,
        "seat": seat_setup,
    }
    printed = {spec.key for spec in study.parts if spec.printed}
    if {"arm_inner", "arm_outer"} <= printed:
        printed.add("arm")
    if {"leg_upper", "leg_lower"} <= printed:
        printed.add("leg")
    return tuple(maker(study) for key, maker in makers.items() if key in printed)


def _kinds(results: tuple[CaseResult, ...]) -> dict[str, str]:
    return {each.case.title: each.case.kind for each in results}


def arm_setup(study: Study) -> Setup:
    """Held by the rings under the clamp bolts' pressure, which yield with the plates where strength
    is judged; loaded at its tip as the beams say, and by its own inertia.

    A split arm is taken in one piece: its lap is judged by the bolts' own checks.
    """
    frame, found = study.frame, study.assessment
    features = part_features("arm", frame, study.task.hardware)
    mass = beam_forces.motor_mass(study)
    at = np.array([frame.arm.axis, 0.0, frame.arm.depth_root / 2])
    pressed = pressed_radius(frame, study.task.hardware)
    body = np.array([-frame.clamp.root_radius, 0.0, 0.0])
    cases = []
    for result in found.results:
        force, moment = beam_forces.tip_load(study, result)
        field, turn = beam_forces.arm_felt(study, result)
        about = moment + np.cross(at - mass.centre, force)  # where what rides there is pushed
        pull = FaceLoad("seat", force, mass.centre, about)
        cases.append(
            SolidCase(result.case.title, (pull,), field, turn, body, riders_feel=False)
        )  # fmt: skip
    regions: Named = {
        "clamp": named.rings(features, "clamp_bore", pressed, (1, -1)),
        "seat": named.region(features["tenon_top"]),
    }
    return Setup(
        key="arm",
        regions=regions,
        supports=(Support(("clamp",)),),
        cases=tuple(cases),
        size=MeshSize(4e-3 if frame.arm.grown is None else GROWN_EDGE),
        kinds=_kinds(found.results),
        watch=("seat",),
        masses=(mass,),
        n_modes=6,
        yields=(clamp_bedding(study),),
        buckles=True,
        by_hand={
            each.case.title: ByHand("seat", "clamp", beam_forces.rest_centre(study, each))
            for each in found.results
            if each.case.held_arm >= 0
        },
        beam=beam_forces.arm_figures(study),
    )


def clamp_bedding(study: Study) -> Bedding:
    """Of the arm's block between its plates: a column of plate under each pressed ring, backed by
    a washer that does not give (Winkler's foundation: modulus over thickness; ours to take it so).

    Rings held fast tear at the plastic round their edges, the more the finer the mesh; a plate of
    the same plastic does not.
    """
    plate = study.frame.plate
    plastic = study.task.materials[plate.material]
    return Bedding("clamp", plastic.E_z / plate.thickness, plastic.G_xz / plate.thickness)


def mount_setup(study: Study) -> Setup:
    """Pressed on the tenon round its bolts; pulled at the motor seat."""
    frame, found = study.frame, study.assessment
    features = part_features("mount", frame, study.task.hardware)
    screw = study.task.hardware.screws[frame.mount.screw]
    at = np.array([0.0, 0.0, frame.mount.thickness + study.brief.motor.height / 2])
    cases = []
    for result in found.results:
        force, moment = beam_forces.motor_load(study, result)
        cases.append(SolidCase(result.case.title, (FaceLoad("seat", force, at, moment),)))
    regions: Named = {
        "bolts": named.rings(features, "mount_bolt", screw.washer_diameter / 2, (-1,)),
        "seat": named.region(features["motor_seat"]),
    }
    return Setup(
        "mount", regions, (Support(("bolts",)),), tuple(cases), MeshSize(2.5e-3),
        _kinds(found.results),
    )  # fmt: skip


def upper_plate_setup(study: Study) -> Setup:
    """Free, with the arms' forces under its clamp washers; the seat and controller ride on it."""
    return _plate(study, "upper_plate", 0)


def lower_plate_setup(study: Study) -> Setup:
    """Free, with the arms' forces under its clamp washers; the tray and battery hang from it."""
    return _plate(study, "lower_plate", 1)


def _plate(study: Study, key: str, plate: int) -> Setup:
    frame, found = study.frame, study.assessment
    features = part_features(key, frame, study.task.hardware, study.layout)
    tools = study.task.hardware.screws
    regions: Named = {}
    bores = [name for name in features if name.startswith("clamp_bore_")]
    each, grips = (
        len(root_bolts(frame)),
        [s.washer_diameter / 2 for s in root_screws(frame, study.task.hardware)],
    )
    for arm in range(frame.n_arms):
        for pair, rows in enumerate(beam_forces.bolt_rows(frame)):
            mine = {bores[each * arm + row]: features[bores[each * arm + row]] for row in rows}
            regions[f"arm {arm} pair {pair}"] = named.rings(
                mine, "clamp_bore", grips[rows[0]], (1, -1)
            )
    name, screw = ("seat_bore", frame.seat.screw) if plate == 0 else ("tray_bore", frame.tray.screw)
    held = carried_grip(tools[screw], plate)
    regions["carried"] = named.rings(features, name, held, (1, -1))
    squeezed = bolt_pressures(study)
    pressed = (
        *(Pressure(each, squeezed[each[-1] == "0"]) for each in regions if each != "carried"),
        Pressure("carried", carried_pressure(study, tools[screw], held)),
    )
    cases = []
    for result in found.results:
        loads = beam_forces.plate_loads(study, result, plate)
        cases.append(SolidCase(result.case.title, (*loads, *pressed)))
    mass = beam_forces.carried_mass(study, plate)
    return Setup(
        key, regions, (), tuple(cases), MeshSize(4e-3), _kinds(found.results), masses=(mass,)
    )


def preload_pressure(study: Study) -> float:
    """Pressure under the clamp bolts' washers once creep has taken its share, Pa."""
    screw = study.task.hardware.screws[study.frame.clamp.screw]
    preload = clamp_preload(study.frame, study.task.materials, study.task.hardware)
    return LEAST_PRELOAD * preload / washer_area(screw)


def bolt_pressures(study: Study) -> tuple[float, float]:
    """The same under the outer and the inner bolts of the arms' roots, Pa: a folding arm's inner
    one is its lock."""
    outer = preload_pressure(study)
    if study.frame.hinge is None:
        return outer, outer
    lock = lock_screw(study.frame, study.task.hardware)
    tension = LEAST_PRELOAD * lock_preload(study.task, study.frame)
    return outer, tension / washer_area(lock)


def carried_grip(screw: Screw, plate: int) -> float:
    """Radius of the rings by which the screws of seat (0) or tray (1) press a plate, m.

    The seat's heads lie on the plate; the tray's nuts stand on washers.
    """
    return (screw.head_diameter if plate == 0 else screw.washer_diameter) / 2


def carried_pressure(study: Study, screw: Screw, radius: float) -> float:
    """Pressure of those screws once creep has taken its share, Pa.

    They are tightened as the clamp bolts are: to what the plastic under them bears, or to the
    steel's limit.
    """
    area = pi * (radius**2 - (screw.clearance_hole / 2) ** 2)
    plate = study.task.materials[study.frame.plate.material]
    steel = float(bolt_preload(screw.stress_area, screw.proof_stress))
    return LEAST_PRELOAD * min(steel / area, WASHER_SHARE * plate.strength_xy)


def leg_setup(study: Study) -> Setup:
    """Held by its flange; pushed at the foot as the ground pushes the hardest-loaded leg."""
    frame, found = study.frame, study.assessment
    features = part_features("leg", frame, study.task.hardware)
    regions: Named = {
        "flange": (named.region(features["flange_top"]), *named.bores(features, "flange_bore")),
        "foot": named.region(features["foot"]),
    }
    landings = tuple(each for each in found.results if each.case.kind == "landing")
    foot = np.array(named.origin(features["foot"]))
    cases = [
        SolidCase(each.case.title, (FaceLoad("foot", force, foot, moment),))
        for each in landings
        for force, moment in (beam_forces.worst_foot(study, each),)
    ]
    return Setup(
        "leg", regions, (Support(("flange",)),), tuple(cases), MeshSize(4e-3), _kinds(landings),
        buckles=True,
    )  # fmt: skip


def tray_setup(study: Study) -> Setup:
    """Held round its screws; the battery pulls on the plate with every acceleration."""
    features = part_features("tray", study.frame, study.task.hardware)
    screw = study.task.hardware.screws[study.frame.tray.screw]
    low = -study.frame.tray.hang
    floor = Plane((0.0, 0.0, low), (0.0, 0.0, 1.0))
    regions: Named = {
        "screws": named.rings(features, "screw_bore", screw.washer_diameter / 2, (1,)),
        "floor": floor,
    }
    centre = np.array([0.0, 0.0, low - study.brief.battery.height / 2])
    return _carrier(study, "tray", regions, "screws", "floor", study.brief.battery.mass, centre)


def seat_setup(study: Study) -> Setup:
    """Held by its inserts; the flight controller rides on top."""
    frame = study.frame
    features = part_features("seat", frame, study.task.hardware)
    regions: Named = {
        "feet": named.bores(features, "foot_bore"),
        "top": named.level(features["top"]),
    }
    height = frame.seat.post_height + frame.seat.thickness
    centre = np.array([0.0, 0.0, height + study.brief.flight_controller.height / 2])
    mass = study.brief.flight_controller.mass
    return _carrier(study, "seat", regions, "feet", "top", mass, centre)


def _carrier(
    study: Study,
    key: str,
    regions: Regions,
    held: str,
    face: str,
    mass: float,
    centre: Floats,
) -> Setup:
    """A part that carries an item: the item's weight and inertia in every case, as forces."""
    results = study.assessment.results
    cases = []
    for result in results:
        felt = -result.acceleration[:3]  # of the forces on it, weight not among them
        cases.append(SolidCase(result.case.title, (FaceLoad(face, mass * felt, centre),), felt))
    return Setup(key, regions, (Support((held,)),), tuple(cases), MeshSize(4e-3), _kinds(results))
