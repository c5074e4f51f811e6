"""Sizing: the lightest frame that keeps every limit, arm first, then checked as a whole."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from math import hypot

from refledge.airframe.arm_uses import ArmUses, Bands
from refledge.airframe.assessment import Assessment, assess
from refledge.airframe.bolt_room import plates_for
from refledge.airframe.estimate import estimated_masses
from refledge.airframe.frame_uses import first_kind, frame_uses, mode_bands, nearest_kind
from refledge.airframe.framing import (
    Setting,
    frame_for,
    placed_layout,
    scaled_legs,
    sized_flanges,
    sized_skids,
    sized_tray,
    whole_layers,
)
from refledge.airframe.hinge import with_lock
from refledge.airframe.hinge_uses import hinge_uses, least_lock
from refledge.airframe.lap_sizing import lap_for
from refledge.airframe.late_uses import late_uses
from refledge.airframe.places import part_centres
from refledge.airframe.pool import Choice, Pool, choose
from refledge.airframe.pooling import build_pool, rebanded, settings_of
from refledge.airframe.rail_sizing import sized_rails
from refledge.airframe.statics import CaseResult
from refledge.airframe.task import Task
from refledge.airframe.weak_links import link_use
from refledge.errors import GeometryError, WishError
from refledge.geometry.parts import part_quantities
from refledge.model.gear import SkidDesign
from refledge.model.hinge import HingeDesign
from refledge.model.hung import RailDesign
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.typed import Floats

FIRST_PLATE = 5e-3
"""m; plate thickness that the first search assumes."""
PLATES = (3e-3, 4e-3, 5e-3, 6e-3, 8e-3)
"""m; plate thicknesses tried."""
STOUT = (10e-3, 12e-3)
"""m; tried too where the plates are what fails at all of those."""
ROUNDS = 7
"""Most searches with limits corrected by what the whole airframe showed."""

LEG_STEP = 1.12
"""Factor on the legs' depth from one round to the next where a leg mode lies badly."""


@dataclass(frozen=True, eq=False)
class Made:
    """What each printed part weighs and where its copies lie."""

    masses: Mapping[str, float]
    """Part key to kg each."""
    centres: Mapping[str, Floats]
    """Part key to (quantity, 3), m, body axes."""


@dataclass(frozen=True, eq=False)
class Sized:
    """One frame, sized and assessed."""

    frame: FrameDesign
    layout: Layout
    pool: Pool
    choice: Choice
    learnt: "Learnt"
    assessment: Assessment
    part_masses: Mapping[str, float]
    uses: Mapping[str, float]
    """Key to demand over capacity with the reserve aimed at, of the whole airframe."""

    @property
    def frame_mass(self) -> float:
        """Printed parts, tubes and fasteners, kg."""
        counts = part_quantities(self.frame)
        parts = sum(counts[key] * mass for key, mass in self.part_masses.items())
        return parts + sum(line.quantity * line.mass for line in self.assessment.fasteners)

    @property
    def feasible(self) -> bool:
        """True where nothing exceeds its limit."""
        return max(self.uses.values()) <= 1.0


@dataclass(frozen=True, eq=False)
class Learnt:
    """What the last whole airframe taught the search."""

    bands: Bands = field(default_factory=dict)
    tighten: Mapping[str, float] = field(default_factory=dict)
    felt: tuple[float, float] | None = None
    """Hardest acceleration of the body, up and sideways, m/s2; None keeps the tray as it is."""
    push: float | None = None
    """Of the ground on the leg that lands first, N; None keeps the skids as they are."""
    results: tuple[CaseResult, ...] = ()
    """Load cases that the payload's rails must stand; none keeps them as they are."""
    leg_scale: float = 1.0
    """Factor on the legs' depth, where their own modes lie badly or they bear too little."""
    lock: str = ""
    """Lock bolt of folding arms; "" keeps it as it is."""
    lap: float = 0.0
    """Length of the laps of arms in two parts, m; 0 keeps it as it is."""


def finish(
    task: Task,
    pool: Pool,
    settings: list[Setting],
    plate: float,
    learnt: Learnt,
    held: Choice | None = None,
    made: Made | None = None,
) -> Sized:
    """The chosen arm of ``pool`` as a whole frame with plates ``plate`` (m) thick, assessed.

    held: a choice to keep instead of choosing. made: masses and centres of real solids.
    """
    choice = held or choose(pool, learnt.tighten, {})
    block, row = pool.locate(choice.index)
    body = scaled_legs(task, block.candidates.body, learnt.leg_scale)
    if learnt.felt:
        body = sized_tray(task, body, pool.material, learnt.felt)
    if learnt.push:
        body = sized_flanges(task, body, pool.material, learnt.push)
        body = sized_skids(task, body, pool.material, learnt.push)
    if learnt.lock and body.hinge:
        hinge = with_lock(task.brief, body.hinge, learnt.lock, task.hardware)
        body = replace(body, hinge=hinge)
    tube = pool.family == "tube"
    arm = block.candidates.arm(row, task.brief.frame.tube if tube else pool.material)
    arm = replace(arm, lap=max(arm.lap, learnt.lap)) if arm.split else arm
    thickness = whole_layers(plate, task.brief.printer.layer)
    frame = frame_for(task, body, arm, pool.material, thickness)
    setting = next(each for each in settings if each.body.arm_width == body.arm_width)
    if learnt.results:
        frame = sized_rails(task, frame, learnt.results)
    layout = placed_layout(task, setting.layout, frame)
    if made is None:
        masses = estimated_masses(task.brief, frame, task.materials, task.ratios)
        made = Made(masses, part_centres(frame, layout))
    assessment = assess(task, frame, layout, made.masses, made.centres)
    local = {key: float(pool.uses[k, choice.index]) for k, key in enumerate(pool.keys)}
    uses = local | frame_uses(task, frame, layout, assessment)
    uses |= hinge_uses(task, frame, assessment) | link_use(task, frame, assessment)
    uses |= late_uses(task, frame, assessment)
    return Sized(frame, layout, pool, choice, learnt, assessment, made.masses, uses)


def hold(task: Task, sized: Sized, made: Made | None = None) -> Sized:
    """The same frame at the loads of ``task``."""
    settings = settings_of(task, sized.pool.family)
    plate = sized.frame.plate.thickness
    pool = build_pool(task, sized.pool.family, sized.pool.material, settings, plate)
    pool = rebanded(task, pool, sized.learnt.bands)
    body = pool.locate(sized.choice.index)[0].candidates.body
    now = sized.frame
    same = _alike(body.skid, now.skid) and _alike(body.rail, now.rail)
    same = same and _same_lock(body.hinge, now.hinge)
    if (body.leg, body.tray) != (now.leg, now.tray) or not same:  # resized by the new landing
        blocks = tuple(_with_body(block, sized) for block in pool.blocks)
        pool = replace(pool, blocks=blocks)
    learnt = replace(sized.learnt, leg_scale=1.0, felt=None, push=None, results=(), lock="")
    learnt = replace(learnt, lap=now.arm.lap)
    found = finish(task, pool, settings, plate, learnt, sized.choice, made)
    return replace(found, learnt=sized.learnt)


def _alike(own: SkidDesign | RailDesign | None, now: SkidDesign | RailDesign | None) -> bool:
    """The same but for the material, which a body does not know."""
    if own is None or now is None:
        return own is now
    return replace(own, material=now.material) == now


def _same_lock(own: HingeDesign | None, now: HingeDesign | None) -> bool:
    """The same lock bolt, or none in either."""
    if own is None or now is None:
        return own is now
    return own.lock == now.lock


def _with_body(block: ArmUses, sized: Sized) -> ArmUses:
    """The block with the legs, skids, rails, tray and lock bolts that the frame has."""
    own = sized.frame
    body = block.candidates.body
    body = replace(body, leg=own.leg, tray=own.tray, skid=own.skid, rail=own.rail, hinge=own.hinge)
    return replace(block, candidates=replace(block.candidates, body=body))


def size(task: Task, family: str, printed: str, rounds: int = ROUNDS) -> Sized:
    """Best frame of one arm family and material.

    Every plate thickness is tried: neither what fails nor the mass changes steadily with it, so a
    search that stops at the first worse step may stop short. For each thickness the search is
    repeated with its limits tightened by the ratio of what the whole airframe shows to what the
    arm alone showed, until nothing fails or the rounds are spent.
    """
    settings = settings_of(task, family)

    def tried(plate: float) -> Sized:
        return _rounds(task, family, printed, settings, plate, rounds)

    best = min(_each(tried, plates_for(task, settings, PLATES)), key=rank)
    if any(use > 1.0 for key, use in best.uses.items() if key.endswith("plates")):
        with suppress(GeometryError, WishError):
            for stout in STOUT:
                (plate,) = plates_for(task, settings, (stout,))
                best = min(best, tried(plate), key=rank)
    return best


def _each(tried: Callable[[float], Sized], plates: tuple[float, ...]) -> list[Sized]:
    """Frames of every plate thickness that the screws pass: legs' flanges are known only with the
    frame, so that an arm of fixed depth may turn out too deep between the thickest.

    Raises GeometryError, of the first, where none can be made.
    """
    found, failed = [], []
    for plate in plates:
        try:
            found.append(tried(plate))
        except GeometryError as error:
            failed.append(error)
    if not found:
        raise failed[0]
    return found


def screen(task: Task, family: str, printed: str) -> Sized:
    """One look at a family and material, for ranking: the first plate thickness, three rounds."""
    settings = settings_of(task, family)
    plate = min(plates_for(task, settings, PLATES), key=lambda each: abs(each - FIRST_PLATE))
    return _rounds(task, family, printed, settings, plate, rounds=3)


def _rounds(
    task: Task, family: str, printed: str, settings: list[Setting], plate: float, rounds: int
) -> Sized:
    pool = build_pool(task, family, printed, settings, plate)
    tried = [finish(task, pool, settings, plate, Learnt())]
    for _ in range(rounds - 1):
        learnt = learn(task, tried[-1])
        pool = rebanded(task, pool, learnt.bands)
        found = finish(task, pool, settings, plate, learnt)
        settled = any(_same(found, earlier) for earlier in tried)
        tried.append(found)
        if settled:
            break
    return min(tried, key=rank)


def _same(one: Sized, other: Sized) -> bool:
    """The same arm with the same legs and laps: the search goes round in a circle from here."""
    scales = one.learnt.leg_scale, other.learnt.leg_scale
    same = scales[0] == scales[1] and one.frame.arm.lap == other.frame.arm.lap
    return one.choice.index == other.choice.index and same


def learn(task: Task, found: Sized) -> Learnt:
    """Factors and mode bands from the frame just assessed."""
    softly = found.uses["first-mode"] > 1.0 and first_kind(found.assessment) == "legs"
    tighten = {}
    for row, key in enumerate(found.pool.keys):
        alone = float(found.pool.uses[row, found.choice.index])
        own = key.startswith("separation") or (
            key == "first-mode" and softly
        )  # not the arms' doing
        if key in found.uses and alone > 0.0 and not own:
            tighten[key] = found.uses[key] / alone
    bands = mode_bands(found.assessment, found.pool, found.choice)
    scale = found.learnt.leg_scale
    badly = found.uses["separation"] > 1.0 and nearest_kind(task, found.assessment) == "legs"
    weak = found.uses.get("strength-rough-leg", 0.0) > 1.0
    if badly or softly or weak:
        scale *= LEG_STEP
    hardest = max(
        (result.felt for result in found.assessment.results), key=lambda felt: hypot(*felt)
    )
    push = float(found.assessment.result("landing-one").case.foot_force[:, 2].max())
    lock = least_lock(task, found.frame, found.assessment)
    lap = lap_for(task, found.frame, found.assessment)
    return Learnt(bands, tighten, hardest, push, found.assessment.results, scale, lock, lap)


def rank(found: Sized) -> tuple[float, float]:
    """Order of preference: least over the limits, all of them added up, then light."""
    over = sum(max(0.0, use - 1.0) for use in found.uses.values())
    return (round(over, 6), found.frame_mass)
