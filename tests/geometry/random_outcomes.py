"""What becomes of a random brief: solids without fault, or one clear reason why not.

The frame is that of a random candidate arm, not of the lightest: it meets more of the geometry.
"""

import random
from dataclasses import dataclass
from math import pi

from refledge.airframe.making import Solids, make_solids
from refledge.airframe.pool import Choice
from refledge.airframe.pooling import build_pool, settings_of
from refledge.airframe.sizing import Learnt, Sized, finish
from refledge.airframe.task import Task
from refledge.airframe.task_making import make_task, rotor_model
from refledge.errors import BriefError, FlightError, GeometryError
from refledge.geometry import kernel
from refledge.geometry.assembly import find_overlaps
from refledge.geometry.folding import fold_places
from refledge.geometry.items import make_items
from refledge.geometry.mesh import is_watertight, mesh_volume
from refledge.inputs.brief import parse_brief
from refledge.model.brief import Brief
from refledge.model.layout import Layout
from refledge.repair.interfaces import joints_of, revisions
from tests.geometry.random_briefs import brief_text, rotors_of

PLATES = (3e-3, 4e-3, 5e-3, 6e-3, 8e-3)


@dataclass(frozen=True)
class Outcome:
    """What became of one brief."""

    seed: int
    family: str
    kind: str
    faults: tuple[str, ...]
    """What should not have happened; empty is what is wanted."""
    refused: str
    """Why nothing was made; empty where it was."""
    notes: tuple[str, ...] = ()
    """What the design's own checks would say: too large for the bed, an item in the way."""


def outcome(seed: int, text: str = "") -> Outcome:
    """Reads, sizes and makes the brief of that seed, or ``text``; raises on a defect of ours."""
    try:
        brief = parse_brief(text or brief_text(seed))
    except BriefError as error:
        return Outcome(seed, "", "", (f"not a valid brief: {error}",), "")
    family, kind = brief.frame.arm_family, brief.layout.kind
    try:
        task = make_task(brief, kind, rotor_model(brief), _mass(brief), {})
        sized = any_frame(task, family, random.Random(seed))
        solids = make_solids(task, sized.frame, sized.layout)
    except (FlightError, GeometryError) as error:
        return Outcome(seed, family, kind, (), f"{type(error).__name__}: {error}")
    alone = _joined_to_nothing(solids, sized, brief)
    faults, refused, notes = _judged(solids, brief, sized.layout)
    return Outcome(seed, family, kind, (*faults, *alone), refused, notes)


def _joined_to_nothing(solids: Solids, sized: Sized, brief: Brief) -> list[str]:
    """Parts of which nobody could say whether a new one fits the old ones."""
    keys = [spec.key for spec in solids.specs]
    known = revisions(joints_of(sized.frame, sized.layout, brief, keys))
    return [f"{key} has no joint with anything" for key in keys if key not in known]


def _mass(brief: Brief) -> float:
    """A first guess at all-up mass, kg."""
    rotors = rotors_of(brief.layout.kind)
    each = brief.motor.mass + brief.propeller.mass + brief.speed_controller.mass
    return 1.4 * (rotors * each + brief.battery.mass + brief.payload.mass + 0.1)


def any_frame(task: Task, family: str, draw: random.Random) -> Sized:
    """A frame round a random arm, not the best one."""
    settings = [draw.choice(settings_of(task, family))]
    plate = draw.choice(PLATES)
    pool = build_pool(task, family, "ASA", settings, plate)
    count = len(pool.frame_mass)
    choice = Choice(draw.randrange(count), True, pool.keys[0], 0.0)
    return finish(task, pool, settings, plate, Learnt(), choice)


def _judged(
    solids: Solids, brief: Brief, layout: Layout
) -> tuple[tuple[str, ...], str, tuple[str, ...]]:
    """Faults, no refusal, notes."""
    faults: list[str] = []
    notes: list[str] = []
    for key, body in solids.bodies.items():
        mesh = solids.assembly.meshes[key]
        if not kernel.is_valid_single(body):
            faults.append(f"{key} is not one valid body")
        if not is_watertight(mesh):
            faults.append(f"{key}'s surface does not close")
        volume = kernel.volume(body)
        if abs(mesh_volume(mesh) / volume - 1.0) > 1e-3:
            faults.append(f"{key}: triangles hold {mesh_volume(mesh) / volume - 1:+.2%} more")
    placed_by_hand = {each.name for each in brief.others} | {"payload", "antenna 1", "antenna 2"}
    if brief.frame.receiver_holder:
        placed_by_hand -= {brief.frame.receiver_holder}
    for pair in (*solids.assembly.overlaps, *_folded(solids, brief, layout)):
        by_hand = any(name in pair for name in placed_by_hand)
        (notes if by_hand else faults).append(pair)
    notes += [f"{spec.key} does not fit the bed" for spec in solids.specs if not spec.fits_bed]
    if not 0.0 < solids.assembly.least_gap < 2 * pi:
        faults.append(f"disc gap {solids.assembly.least_gap:.4f} m")
    return tuple(faults), "", tuple(notes)


def _folded(solids: Solids, brief: Brief, layout: Layout) -> list[str]:
    """What meets once the arms are folded; nothing of clamped arms."""
    if solids.frame.hinge is None:
        return []
    places = fold_places(solids.frame, layout, solids.assembly.placements)
    bodies = dict(solids.bodies) | make_items(brief)
    return [f"folded: {each}" for each in find_overlaps(
        [p for p in places if p.key in bodies and p.key != "payload"], bodies)]  # fmt: skip
