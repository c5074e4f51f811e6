"""A hand-made study of a six-rotor: plausible numbers, simple bodies. Nothing here is computed."""

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np

from refledge.flight.rotor_sources import rotor_estimate
from refledge.inputs.fasteners import hardware
from refledge.model.checks import Check, Verdict
from refledge.model.flight import OperatingPoint, RotorState, SpeedRange
from refledge.model.gear import LegDesign
from refledge.model.hung import TrayDesign
from refledge.model.layout import Layout
from refledge.model.loads import LoadCase
from refledge.model.materials import MaterialCard, Property
from refledge.model.parts import ArmDesign, ClampDesign, FrameDesign, MountDesign, PlateDesign
from refledge.model.results import (
    Alternative,
    Assembly,
    ClosureStep,
    Deflected,
    Driver,
    Fastener,
    LayoutOption,
    MassLine,
    ModeSet,
    ShoppingLine,
)
from refledge.model.upper import SeatDesign
from refledge.study import Study
from tests.outputs.fake_assessment import fake_assessment
from tests.outputs.fake_brief import fake_brief
from tests.outputs.fake_parts import ANGLES, RADIUS, N, meshes, parts, placements
from tests.outputs.solids import fake_solids


def _frame() -> FrameDesign:
    return FrameDesign(
        arm=ArmDesign(
            family="box", length=0.3, width=0.022, depth_root=0.022, depth_tip=0.014,
            root_length=0.04, tenon_length=0.053, side=0.0018, top=0.0018, bottom=0.0018,
            pitch=0.0, web=0.0, bore=0.007, material="PETG",
        ),
        n_arms=N,
        clamp=ClampDesign(screw="M3", root_radius=0.034, first=0.008, pitch_x=0.024, pitch_y=0.012),
        plate=PlateDesign(
            outer_radius=0.074, thickness=0.004, centre_bore=0.02, arm_pad_width=0.026,
            core_radius=0.06, material="PETG",
        ),
        mount=MountDesign(
            per_arm=1, length=0.053, width=0.024, seat_radius=0.021, thickness=0.005,
            holes="M3 16x19", head_depth=0.002, shaft_bore=0.008, screw="M3", pitch_x=0.045,
            pitch_y=0.014, material="PETG",
        ),
        leg=LegDesign(
            count=4, arms=(0, 2, 3, 5), height=0.12, splay=0.03, thickness=0.018, depth_top=0.009,
            depth_foot=0.006, flange_thickness=0.004, material="PETG",
        ),
        tray=TrayDesign(
            length=0.14, width=0.062, thickness=0.003, yaw=0.0, fence=0.008, strap_width=0.02,
            screw="M3", pitch_x=0.08, pitch_y=0.04, material="PETG",
        ),
        seat=SeatDesign(
            side=0.04, thickness=0.003, post_height=0.012, post_diameter=0.008, screw="M3",
            pitch=0.0305, foot_pitch=0.0305, material="PETG",
        ),
        hole_allowance=0.0002,
        fit_gap=0.00015,
    )  # fmt: skip


def _layout() -> Layout:
    x, y = RADIUS * np.cos(ANGLES), RADIUS * np.sin(ANGLES)
    spin = (1, -1, 1, -1, 1, -1)
    return Layout(
        kind="six-x", arm_angles=ANGLES, motor_radius=RADIUS,
        positions=np.column_stack([x, y, np.full(N, 0.05)]), arm_of_rotor=tuple(range(N)),
        spin=spin, upper=(True,) * N, paired=False, tip_gap=0.03, footprint=0.9,
        allocation=np.array([np.ones(N), y, -x, -0.016 * np.array(spin)]),
    )  # fmt: skip


def _point(name: str, thrust: float, speed: float, endurance: float) -> OperatingPoint:
    rotor = RotorState(
        thrust=thrust / N, torque=0.016 * thrust / N, speed=speed, shaft_power=45.0, current=4.1,
        voltage=9.0, throttle=0.55, electrical_power=52.0,
    )  # fmt: skip
    return OperatingPoint(name, thrust, (rotor,) * N, 15.2, 24.0, 330.0, "", endurance, "estimate")


def _card(key: str, name: str) -> MaterialCard:
    def known(value: float) -> Property:
        return Property(value, 0.1, "from memory, typical")

    return MaterialCard(
        key=key, name=name, kind="printed", E_xy=known(2.0e9), E_z=known(1.7e9), nu=known(0.38),
        G_xz=known(0.6e9), rho=known(1270.0), strength_xy=known(48e6), strength_z=known(25e6),
        shear_z=known(15e6), glass_transition=known(351.0), heat_deflection=known(343.0),
        creep_factor=known(0.8), wet_modulus=known(1.0), wet_strength=known(1.0),
        price_low=known(18.0), price_high=known(35.0), damping=known(0.02),
        nozzle_temperature=513.15, bed_temperature=353.15, needs_enclosure=False, abrasive=False,
        drying="65 °C for 6 h",
    )  # fmt: skip


def check(key: str, verdict: Verdict = Verdict.HOLDS, **changes: Any) -> Check:
    plain = Check(
        key=key, title="Motor tilt at full thrust", group="stiffness", part="arm",
        load_case="full-thrust", demand=0.0142, capacity=0.01745, at_least=False, unit="rad",
        shown="deg", margin=0.186, verdict=verdict, method="beam frame", source="brief",
        spread=0.08,
    )  # fmt: skip
    return replace(plain, **changes)


def _checks() -> tuple[Check, ...]:
    return (
        check("motor-tilt"),
        check(
            "arm-hover-across", Verdict.NARROWLY, title="Arm across the layers, landing on one leg",
            group="strength", load_case="landing-one", demand=18.1e6, capacity=19.2e6, unit="Pa",
            shown="MPa", margin=0.057, source="card PETG: from memory, typical", spread=0.3,
        ),
        check(
            "insert", title="Insert pull-out at the seat", group="joints", part="seat",
            load_case="landing-all", demand=21.0, capacity=240.0, unit="N", shown="N", margin=0.91,
        ),
        check(
            "first-mode", Verdict.FAILS, title="First frame mode against control bandwidth",
            group="shaking", part="airframe", load_case="", demand=21.3, capacity=24.0,
            at_least=True, unit="Hz", shown="Hz", margin=-0.113,
        ),
        check(
            "heat", Verdict.UNKNOWN, title="Part temperature in the sun", group="heat",
            load_case="hover", demand=333.15, capacity=333.0, unit="K", shown="degC", margin=0.0,
            note="The card's heat deflection is too uncertain here.",
        ),
        check(
            "thrust", title="Full thrust over weight", group="flight", part="airframe",
            load_case="full-thrust", demand=2.05, capacity=1.8, at_least=True, unit="1", shown="1",
            margin=0.139,
        ),
        check(
            "bed", title="Longest part on the bed", group="fit", load_case="", demand=0.3,
            capacity=0.326, unit="m", shown="mm", margin=0.08,
        ),
    )  # fmt: skip


def _sticks() -> tuple[Any, Any]:
    """Centre node, then a root node and a tip node for each arm."""
    out = np.column_stack([np.cos(ANGLES), np.sin(ANGLES), np.zeros(N)])
    nodes = np.concatenate([np.zeros((1, 3)), 0.05 * out, RADIUS * out])
    arms = np.arange(1, N + 1)
    links = np.column_stack([np.zeros(N, dtype=np.int64), arms])
    return nodes, np.concatenate([links, np.column_stack([arms, arms + N])]).astype(np.int64)


def _modes(title: str, frequencies: list[float], labels: tuple[str, ...]) -> ModeSet:
    nodes, elements = _sticks()
    shapes = np.zeros((len(frequencies), len(nodes), 6))
    shapes[:, N + 1 :, 2] = 1.0
    felt = np.linspace(5.0, 0.0, len(frequencies))
    return ModeSet(title, np.array(frequencies), labels, nodes, elements, shapes, felt, 3.0)


def _deflected() -> tuple[Deflected, ...]:
    nodes, elements = _sticks()
    full = np.zeros((len(nodes), 6))
    full[N + 1 :, 2] = 0.0028
    landing = np.zeros((len(nodes), 6))
    landing[N + 1 :, 2] = -0.0031 * np.array([2.0, 1, 1, 1, 1, 1.5])
    tilt, tip = np.full(N, 0.0142), np.full(N, 0.0028)
    return (
        Deflected("full-thrust", nodes, elements, full, tilt, tip),
        Deflected("landing-one", nodes, elements, landing, tilt, tip),
    )


def _case(key: str, title: str, kind: str) -> LoadCase:
    return LoadCase(
        key=key, title=title, reason="It happens.", kind=kind, rotor_thrust=np.full(N, 12.0),
        rotor_torque=np.full(N, 0.19), foot_force=np.zeros((4, 3)), slung_force=5.9,
    )  # fmt: skip


def _masses() -> tuple[MassLine, ...]:
    return (
        MassLine("motors", "items", 6, 0.085, (0.0, 0.0, 0.03), "brief"),
        MassLine("battery", "items", 1, 0.72, (0.0, 0.0, -0.036), "brief"),
        MassLine("water bottle", "payload", 1, 0.6, (0.0, 0.0, -0.1), "brief"),
        MassLine("arms", "printed", 6, 0.046, (0.0, 0.0, 0.0), "solid and fill"),
        MassLine("plates", "printed", 2, 0.072, (0.0, 0.0, 0.0), "solid and fill"),
        MassLine("bolts", "fasteners", 48, 0.0025, (0.0, 0.0, 0.0), "table"),
        MassLine("wires", "wiring", 1, 0.12, (0.0, 0.0, 0.0), "brief"),
    )


def _alternatives() -> tuple[Alternative, ...]:
    return (
        Alternative("box", "PETG", True, 0.612, 0.046, 0.0142, 31.0, "Motor tilt at full thrust"),
        Alternative("channel", "PETG", True, 0.655, 0.052, 0.0171, 27.0, "Lateral mode"),
        Alternative("truss", "ASA", True, 0.634, 0.048, 0.0166, 29.0, "Diagonals buckle"),
        Alternative("box", "ASA", False, 0.0, 0.0, 0.0, 0.0, "Printer has no enclosure"),
    )


def _task() -> Any:
    """As much of a task as the section on flying looks at."""
    brief = fake_brief()
    hover, full = _point("hover", 31.4, 480.0, 760.0), _point("full thrust", 64.0, 690.0, 0.0)
    rotor = rotor_estimate(brief.propeller)
    return SimpleNamespace(brief=brief, rotor=rotor, hover=hover, full=full, hardware=hardware())


def fake_study(*, title: str = "Lake sampler (invented)", **changes: Any) -> Study:
    hover = _point("hover", 31.4, 480.0, 760.0)
    plain = Study(
        version="0.1.0",
        brief=fake_brief(title),
        cards={"PETG": _card("PETG", "PETG"), "ASA": _card("ASA", "ASA")},
        layout=_layout(),
        layout_options=(
            LayoutOption("six-x", 2.9, 330.0, 760.0, 2.05, RADIUS, 0.9, 6, True, "least power"),
            LayoutOption("three-pairs", 2.8, 395.0, 610.0, 1.81, 0.26, 0.8, 6, False, "more power"),
        ),
        frame=_frame(),
        hover=hover,
        full=_point("full thrust", 64.0, 690.0, 0.0),
        speeds=SpeedRange(
            throttle=np.linspace(0.05, 1.0, 20), speed=np.linspace(60.0, 690.0, 20),
            hover_speeds=(480.0,), full_speed=690.0, idle_speed=60.0, blades=2,
        ),
        all_up_mass=3.2,
        frame_mass=0.612,
        closure=(
            ClosureStep(3.0, 0.58, 0.18), ClosureStep(3.18, 0.61, 0.02),
            ClosureStep(3.2, 0.612, 0.0002),
        ),
        loads=(
            _case("full-thrust", "Full thrust", "flight"),
            _case("landing-one", "Hard landing on one leg", "landing"),
        ),
        parts=parts(),
        solids=fake_solids(),
        assembly=Assembly(meshes(), placements(), (), 0.021),
        masses=_masses(),
        deflected=_deflected(),
        arm_modes=_modes("arm clamped at the root", [31.0, 44.0], ("vertical", "lateral")),
        airframe_modes=_modes(
            "free airframe", [21.3, 33.0, 47.0], ("arms in turn", "arms together", "arms sideways")
        ),
        checks=_checks(),
        drivers=(
            Driver("arm depth at the root", 0.022, "mm", "motor tilt at full thrust", 0.013),
            Driver("plate thickness", 0.004, "mm", "least that prints well", 0.0),
        ),
        alternatives=_alternatives(),
        fasteners=(
            Fastener("M3 x 40 cap screw, ISO 4762", 24, "arms between the plates", 0.8, 0.004),
            Fastener("M3 x 8 cap screw, ISO 4762", 24, "motors", 0.6, 0.0012, "thread lock"),
        ),
        shopping=(
            ShoppingLine("motor 3508", 6, 4, 1, 1, "one scrapped"),
            ShoppingLine("11 x 4.7", 6, 6, 0, 0, "all sound"),
        ),
        notes=("Propeller coefficients are an estimate.",),
        task=_task(),
        assessment=fake_assessment(fake_brief(title), _layout()),
    )  # fmt: skip
    return replace(plain, **changes)
