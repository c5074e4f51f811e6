"""Folding arms folded: does anything meet, how large is it then, how do the wires follow."""

import numpy as np

from refledge.airframe.judge import judge, none_margin
from refledge.airframe.making import Solids
from refledge.airframe.task import Task
from refledge.airframe.wires import arm_bundle, motor_lead
from refledge.flight.wires import TIGHTEST
from refledge.geometry.assembly import find_overlaps
from refledge.geometry.folded import folded_size, wire_way
from refledge.geometry.folding import fold_places
from refledge.geometry.items import make_items
from refledge.model.checks import Check
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, Placement
from refledge.units import show

FOLD = "hinge-fold"


def fold_checks(
    task: Task, frame: FrameDesign, layout: Layout, solids: Solids
) -> tuple[Check, ...]:
    """Nothing meets with the arms folded; nothing to check for clamped arms."""
    if frame.hinge is None:
        return ()
    folded = _kept(task, fold_places(frame, layout, solids.assembly.placements))
    met = find_overlaps(folded, dict(solids.bodies) | make_items(task.brief))
    return (
        judge(
            key=FOLD, title="parts that share volume with the arms folded", group="fit",
            part="assembly", demand=float(len(met)), capacity=0.0, unit="1", shown="1",
            margin=none_margin(len(met)),
            method="common volume of every pair of neighbouring solids above 1 mm3, propellers off",
            source="computed from the solids", note="; ".join(met), exact=True,
        ),
    )  # fmt: skip


def fold_wires(task: Task, frame: FrameDesign) -> tuple[Check, ...]:
    """The wires' bend with the arms folded; nothing to check for clamped arms."""
    if frame.hinge is None:
        return ()
    way = wire_way(frame)
    return (
        judge(
            key="hinge-wires", title="bend of the motor wires past the folded hinges", group="fit",
            part="wires", demand=way.radius - arm_bundle(task) / 2,
            capacity=TIGHTEST * motor_lead(task).outside, at_least=True, unit="m", shown="mm",
            method="circle that leaves the folded arm along it and meets the plates' middle",
            source=f"{TIGHTEST:g} diameters of a lead: common practice, no source", exact=True,
            note=f"leave a loop of {show(way.slack, 'm', 'mm', 2)} between the plates",
        ),
    )  # fmt: skip


def _kept(task: Task, places: tuple[Placement, ...]) -> list[Placement]:
    """Without a slung payload, which hangs clear on its line."""
    return [each for each in places if not (each.key == "payload" and task.brief.payload.slung)]


def fold_notes(frame: FrameDesign, layout: Layout, assembly: Assembly) -> tuple[str, ...]:
    """How large it is folded, in words; none for clamped arms."""
    if frame.hinge is None:
        return ()
    size = folded_size(frame, layout, assembly)
    sides = [show(each, "m", "mm", 3) for each in (size.length, size.width, size.height)]
    turn, lead = (f"{np.degrees(each):.0f}" for each in (frame.hinge.turn, frame.hinge.lead))
    return (
        f"Arms fold {turn} degrees clockwise from above, propellers, battery and payload off: "
        f"{sides[0]} long, {sides[1]} wide, {sides[2]} high, {show(size.across, 'm', 'mm', 3)} "
        f"across (open {show(size.open_across, 'm', 'mm', 3)}). No arm may turn more than {lead} "
        "degrees ahead of its neighbours on the way.",
    )
