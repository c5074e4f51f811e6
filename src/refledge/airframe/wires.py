"""The motor wires' way along the arms: inside them, or on top in clips."""

from math import ceil, hypot, sqrt

from refledge.airframe.body import Body
from refledge.airframe.fit_checks import LEAST_DISC_GAP
from refledge.airframe.task import Task
from refledge.errors import WishError
from refledge.flight.wires import LEADS, Gauge, bundle, gauge_for
from refledge.geometry.hinge import pivot_point
from refledge.geometry.items import disc_thickness
from refledge.model.brief import Brief
from refledge.model.parts import ArmDesign, ClipDesign

APART = 60e-3
"""m; greatest distance between clips: common practice, no source."""
BESIDE = 8e-3
"""m; from plates, mount and lap to the middle of a clip: our choice."""
LENGTH, WALL, TIE = 9e-3, 1.8e-3, 4e-3
"""m; of a clip and its walls, and the groove for a tie 3.6 mm wide: our choice."""


def motor_lead(task: Task) -> Gauge:
    """Of one motor, as the build book's wiring table has it."""
    return gauge_for(*(max(s.current for s in point.rotors) for point in (task.hover, task.full)))


def arm_bundle(task: Task) -> float:
    """Round hole that all motor leads of one arm pass together, m."""
    return bundle(LEADS * (2 if task.paired else 1), motor_lead(task))


def clips_for(task: Task, body: Body, arm: ArmDesign, material: str) -> ClipDesign | None:
    """Clips where the brief asks for them, or where the wires do not fit into the arm's bore.

    Tubes take the wires inside: their bore is wide, and a clip would stand on a round. An arm too
    narrow for a clip, or too near its propeller, gets none unasked: the check of its bore then
    tells of the wires. Raises WishError where clips are asked for and would meet the propeller.
    """
    wish = task.brief.frame.wires
    if arm.grown is not None and wish == "clips":
        raise WishError(
            "wire clips: a grown arm has no level top to tie them to; next: wires inside the arms "
            "(frame.wires), or strike frame.grown_arm out"
        )
    if wish == "inside" or arm.grown is not None or arm.family == "tube":
        return None
    together = arm_bundle(task)
    wide = together + 2 * (WALL + task.brief.frame.fit_gap)
    if wish == "fit" and (together <= arm.bore or wide > arm.width):
        return None
    if together + 2 * task.brief.frame.fit_gap + WALL > room_under_disc(task.brief, body):
        if wish == "fit":
            return None
        raise WishError(
            "wire clips: they would stand in the propellers' way; next: wires inside the arms "
            "(frame.wires) or a wider bore"
        )
    places = clip_stations(body, arm)
    return ClipDesign(
        bundle=together, places=places, length=LENGTH, wall=WALL, tie=TIE, material=material
    )


def room_under_disc(brief: Brief, body: Body) -> float:
    """From the arm's top to the space that the blades sweep, less the gap kept, m."""
    middle = body.mount.thickness + brief.motor.height
    return middle - disc_thickness(brief.propeller) / 2 - LEAST_DISC_GAP


def clip_stations(body: Body, arm: ArmDesign) -> tuple[float, ...]:
    """Middles of clips from the arm's inner end, m: evenly from plates to mount, none on a lap."""
    start = body.outer_radius - body.clamp.root_radius + BESIDE
    if body.hinge is not None:
        start = max(start, clear_of_plates(body))
    end = max(start, arm.length - arm.tenon_length - BESIDE)
    if not arm.split:
        return evenly(start, end)
    reach = arm.lap / 2 + BESIDE
    return (*evenly(start, arm.split - reach), *evenly(arm.split + reach, end))


def clear_of_plates(body: Body) -> float:
    """Middle of the first clip from a folding arm's inner end, m: clips stand as high as the upper
    plate, and turn with the arm about its pivot, so they stay outside the plates' circle."""
    x, y = pivot_point(body.clamp)
    pivot = hypot(body.clamp.root_radius + x, y)
    beyond = max(body.outer_radius**2 - (pivot - body.arm_width) ** 2, 0.0)
    return x + sqrt(beyond) + LENGTH


def evenly(low: float, high: float) -> tuple[float, ...]:
    """From ``low`` to ``high``, at most APART from one another, m; one where both are near."""
    if high - low < 2 * LENGTH:
        return ((low + high) / 2,)
    steps = ceil((high - low) / APART)
    return tuple(low + (high - low) * k / steps for k in range(steps + 1))
