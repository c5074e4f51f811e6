"""Checks of the motor wires: do they fit through the arm, and are their bends wide enough."""

from refledge.airframe.judge import judge
from refledge.airframe.task import Task
from refledge.airframe.wires import arm_bundle, motor_lead
from refledge.flight.wires import TIGHTEST
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign

SOURCE = (
    "gauge of the build book's wiring table; diameters of silicone wire from memory, typical: "
    "measure yours"
)


def wire_checks(task: Task, frame: FrameDesign) -> tuple[Check, ...]:
    """The bundle in the arm's bore, unless clips carry it; the tightest bend that is forced."""
    bundle, lead = arm_bundle(task), motor_lead(task).outside
    where, radius = tightest(frame, bundle)
    bend = judge(
        key="wire-bend", title="tightest bend of the motor wires", group="fit", part="wires",
        demand=radius, capacity=TIGHTEST * lead, at_least=True, unit="m", shown="mm", exact=True,
        method=f"inside radius that the parts leave, against {TIGHTEST:g} diameters of a lead",
        source=SOURCE, note=where,
    )  # fmt: skip
    if frame.clip is not None:
        return (bend,)
    through = judge(
        key="wires-through", title="motor wires through the arm's bore", group="fit", part="wires",
        demand=bundle, capacity=frame.arm.bore, unit="m", shown="mm", exact=True,
        method="least circle round the leads of one arm", source=SOURCE,
        note='wires that do not fit run outside: frame.wires = "clips"',
    )  # fmt: skip
    return (through, bend)


def tightest(frame: FrameDesign, bundle: float) -> tuple[str, float]:
    """Where the wires are forced round the tightest bend, and its inside radius, m.

    A quarter turn in a space leaves at most the space less the bundle inside it. Loops in the open,
    as beside the mount, are as wide as they are laid.
    """
    arm = frame.arm
    spaces = {"out of the arm into the middle of the plates": frame.clamp.root_radius}
    if frame.clip is not None:
        spaces = {"down beside the arm, in between the plates": frame.plate_gap}
    elif arm.family == "box":
        spaces["through the arm's side, to run along inside"] = arm.width - 2 * arm.side
    where, space = min(spaces.items(), key=lambda each: each[1])
    return where, space - bundle
