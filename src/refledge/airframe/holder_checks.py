"""Checks of the receiver's and the antennas' holders."""

from collections.abc import Iterator
from math import hypot

import numpy as np

from refledge.airframe.assessment import Assessment
from refledge.airframe.fit_checks import LEAST_DISC_GAP
from refledge.airframe.holders import COAX, item_named
from refledge.airframe.judge import judge
from refledge.airframe.snaps import snap_checks
from refledge.airframe.task import Task
from refledge.geometry.clearance import cloud, rod_to_disc
from refledge.geometry.items import disc_thickness
from refledge.model.checks import Check
from refledge.model.parts import FrameDesign
from refledge.model.results import Assembly, Placement
from refledge.model.upper import AntennaHolderDesign, ReceiverHolderDesign
from refledge.typed import Floats

CONDUCTS = ("motor", "battery", "flight_controller", "tube")
"""Keys of bodies that bend an antenna's pattern, besides the other items."""


def holder_checks(
    task: Task, frame: FrameDesign, found: Assessment, assembly: Assembly
) -> tuple[Check, ...]:
    """Of those that the frame has."""
    checks: list[Check] = []
    if frame.receiver_holder is not None:
        checks += _receiver(task, frame.receiver_holder, found)
    if frame.antenna_holder is not None:
        checks += _antennas(task, frame.antenna_holder, found, assembly)
    return tuple(checks)


def _receiver(task: Task, holder: ReceiverHolderDesign, found: Assessment) -> Iterator[Check]:
    material, item = task.materials[holder.material], item_named(task.brief, "receiver_holder")
    hardest = max(found.results, key=lambda result: hypot(*result.felt))
    pull = item.mass * hypot(*hardest.felt) * task.brief.limits.landing_factor
    size = (holder.tongue, holder.wall, holder.lip, holder.height)
    yield from snap_checks(
        "receiver", "receiver_holder", "receiver holder", size, material, (pull, hardest.case.title)
    )


def _antennas(
    task: Task, holder: AntennaHolderDesign, found: Assessment, assembly: Assembly
) -> Iterator[Check]:
    rods = [each for each in assembly.placements if each.key == "antenna"]
    bend = max(float(result.tip_deflection.max()) for result in found.results)
    yield judge(
        key="antenna-disc", title="antennas to the propeller discs", group="fit",
        part="antenna_holder", demand=_disc_gap(task, holder, rods, assembly),
        capacity=LEAST_DISC_GAP + bend, at_least=True, unit="m", shown="mm", exact=True,
        method="stiff ends along their whole length against the space that the blades sweep",
        source="computed from places and sizes",
        note=f"{LEAST_DISC_GAP * 1e3:.0f} mm and the arms' greatest deflection, "
        f"{bend * 1e3:.1f} mm",
    )  # fmt: skip
    near, what = _nearest_metal(holder, rods, assembly)
    yield judge(
        key="antenna-clear", title="antennas to what conducts", group="fit",
        part="antenna_holder", demand=near, capacity=task.brief.antennas.clear, at_least=True,
        unit="m", shown="mm", exact=True,
        method="stiff ends along their whole length against motors, battery, electronics, carbon",
        source="limit from the brief", note=f"nearest: {what}; screws are not counted",
    )  # fmt: skip
    yield judge(
        key="antenna-bend", title="tightest bend of the antennas' leads", group="fit",
        part="antenna_holder", demand=holder.mouth - holder.flange_thickness - holder.lead,
        capacity=COAX * holder.lead, at_least=True, unit="m", shown="mm", exact=True,
        method=f"a quarter turn under the bridge, against {COAX:g} diameters of a lead inside",
        source="common practice, no source", note="from along the plate up into the tube",
    )  # fmt: skip


def _ends(rod: Placement, length: float) -> Floats:
    """(2, 3), m."""
    return np.array([rod.translation, rod.translation + length * rod.rotation[:, 2]])


def _disc_gap(
    task: Task, holder: AntennaHolderDesign, rods: list[Placement], assembly: Assembly
) -> float:
    """Least distance from any stiff end to any disc, m; negative inside."""
    propeller = task.brief.propeller
    size = (propeller.diameter, disc_thickness(propeller))
    discs = [each.translation for each in assembly.placements if each.group == "disc"]
    return min(
        rod_to_disc(_ends(rod, holder.length) - disc, *size) - holder.diameter / 2
        for rod in rods
        for disc in discs
    )


def _nearest_metal(
    holder: AntennaHolderDesign, rods: list[Placement], assembly: Assembly
) -> tuple[float, str]:
    """Least distance from any stiff end to the surface of what conducts, m, and what that is."""
    found = []
    for body in assembly.placements:
        other = body.key.startswith("other_") and body.name != holder.item
        if body.key in CONDUCTS or other:
            points = cloud(assembly.meshes[body.key]) @ body.rotation.T + body.translation
            away = min(_from_line(points, _ends(rod, holder.length)) for rod in rods)
            found.append((away - holder.diameter / 2, body.name))
    return min(found)


def _from_line(points: Floats, ends: Floats) -> float:
    """Least distance of points (n, 3) from the line between two ends (2, 3), m."""
    along = ends[1] - ends[0]
    share = np.clip((points - ends[0]) @ along / (along @ along), 0.0, 1.0)
    return float(np.linalg.norm(points - ends[0] - share[:, None] * along, axis=1).min())
