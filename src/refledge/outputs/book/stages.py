"""The order of assembly: which parts and items come on in which step, with which fasteners.

Parts that no stage names come on in a step of their own, so that a new kind of part is never left
out of the book.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from refledge.errors import BuildError
from refledge.model.results import Fastener
from refledge.outputs.words import capital, count
from refledge.study import Study

NUTS = "seat with nuts"
"""Stands among the keys where the seat's screws hold in nuts."""
UP, DOWN, OUT = "up", "down", "out"


@dataclass(frozen=True)
class Stage:
    """One step, before its words and picture are made."""

    title: str
    parts: tuple[str, ...]
    """Keys of parts and items that are new."""
    base: tuple[str, ...] = ()
    """Keys shown beside them on the bench; empty: all that is on already."""
    one: bool = False
    """Only the first of each is shown: the step is done for each of them."""
    lift: str = UP
    """Where the new ones come from."""
    fasteners: tuple[str, ...] = ()
    """Words that the ``where`` of its fasteners begins with."""
    say: tuple[str, ...] = ()
    caution: tuple[str, str] = ("", "")
    caption: str = ""
    """Under the picture; empty: what is new."""
    under: tuple[str, ...] = ()
    """Keys that come from below where the others come from above."""
    only: str = ""
    """Key without which the step is left out."""
    unless: str = ""
    """Key with which the step is left out."""
    final: bool = False
    """After every part that no stage names."""


STAGES: tuple[Stage, ...] = (
    Stage(
        "Heat-set inserts into the seat", ("seat",), base=("seat",),
        fasteners=("flight-controller seat",), unless=NUTS,
        caption="An insert goes into each blind hole: on top, and in the feet from below.",
        say=(
            "Fit a conical or insert tip to the soldering iron and set it near the nozzle "
            "temperature of the plastic ({nozzle}).",
            "Stand the insert on its hole, press straight down without force, and let the heat do "
            "the work. Stop when it stands 0.2 mm proud, then press it flush with a cold flat "
            "plate and hold it there for ten seconds.",
            "Let it cool. A screw must turn in by hand and stand square to the face.",
        ),
        caution=(
            "Hot metal, fumes",
            "The tip burns skin and the plastic gives off fumes: air the room, do not touch the "
            "insert for a minute. Too hot or too long, and the plastic runs into the thread.",
        ),
    ),
    Stage(
        "Nuts into the seat", ("seat",), base=("seat",), only=NUTS,
        fasteners=("flight-controller seat",),
        caption="A nut goes into each slot from outside, at the feet and under the plate.",
        say=(
            "Run a drill of the bolt hole's size through every hole by hand, from its open end: "
            "one printed layer shuts it where it meets the slot.",
            "Push a plain nut into each slot, one corner first, until it stops under the hole; "
            "look through the hole: the thread stands in the middle. A nut that will not go in by "
            "hand wants a file, not a hammer.",
            "Turn a screw into each nut and pull: it must draw the nut flat against its ledge and "
            "not turn it. Then take it out again.",
            "Tighten the seat's screws later with no more than {nut_torque}: more turns the "
            "nut in the plastic.",
        ),
    ),
    Stage(
        "Motors onto their mounts", ("motor",), base=("mount",), one=True,
        fasteners=("motors on their mounts", "motors"),
        say=(
            "Screw each motor to its mount now: later the arm covers the screw heads.",
            "Lead the three wires out through the notch.",
            "Turn the motor by hand. If anything scrapes, a screw is too long.",
        ),
        caution=(
            "Screws too long",
            "A screw that reaches the winding ruins the motor and may set it on fire. Measure "
            "before you tighten.",
        ),
    ),
    Stage(
        "Two parts of each arm", ("arm_outer",), base=("arm_inner",), one=True, lift=OUT,
        fasteners=("laps of the arms",),
        say=(
            "Clear the bolt holes of the lap with a drill.",
            "Lay the motor wires into the groove before you close the lap.",
        ),
    ),
    Stage(
        "Payload rails under the battery tray", ("rail",), base=("tray",), lift=DOWN,
        fasteners=("payload rails on the tray",),
        say=(
            "Now, while the tray lies on the bench: later the plate covers the screw heads.",
            "Screws come from above, heads sunk into the tray's shelves, nuts under the rails' "
            "flanges. Both rails are the same part, lips inwards.",
            "Slide the carrier through both rails before you tighten: it must run by hand over the "
            "whole length.",
        ),
    ),
    Stage(
        "Battery tray under the lower plate", ("tray", "rail"), base=("lower_plate",), lift=DOWN,
        fasteners=("battery tray",),
        say=(
            "Thread the two straps through their slots first.",
            "Screw heads sink into the battery's side of the tray; nuts lie on the plate. Run a "
            "finger over the heads: none may stand out, or it wears through the battery.",
        ),
        caution=(
            "Sharp edges and lithium",
            "A burr or a proud screw head can cut a battery open. Smooth everything it touches.",
        ),
    ),
    Stage(
        "Seat onto the upper plate", ("seat",), base=("upper_plate",),
        fasteners=("flight-controller seat, from below",), unless="standoff",
        say=("Screws come from below, through the plate into the posts.",),
    ),
    Stage(
        "Carrier and elastic standoffs onto the upper plate", ("standoff", "seat"),
        base=("upper_plate",), only="standoff",
        fasteners=("flight-controller carrier, from below",),
        say=(
            "Turn one stud of each standoff into a post of the carrier by hand until the rubber "
            "just sits on the plastic, no further: a twisted standoff is a stiff one.",
            "Put the four lower studs through the plate, washer and lock nut from below. Hold the "
            "rubber while you tighten.",
            "Press the carrier down and aside with a finger: it must give the same at all four "
            "corners and come back.",
            "Later lead every wire to the controller in a loose loop and tie none of them to the "
            "carrier: a taut wire passes on what the standoffs hold back.",
        ),
    ),
    Stage(
        "Arms onto the lower plate", ("arm", "arm_inner", "arm_outer", "tube", "root_block"),
        base=("lower_plate", "tray", "rail"), lift=UP,
        say=(
            "Lay the speed controllers between the arms, one for each motor, and lead their wires "
            "out now: the upper plate covers them.",
            "Put all arms in place before any bolt is tightened.",
        ),
    ),
    Stage(
        "Legs and upper plate: close the stack", ("upper_plate", "standoff", "seat", "leg"),
        under=("leg",),
        fasteners=("arms between the plates",),
        say=(
            "Put all bolts in from above, washers under head and nut. The longer ones go where a "
            "leg hangs, through its flange.",
            "Turn the screws from above and only hold the nuts. Where the battery tray lies below "
            "a nut, bring washer and nut in from the side with a thin open spanner, a dab of "
            "grease to keep them in it.",
            "Tighten in two rounds: first every bolt to half the torque, each arm's inner pair "
            "before its outer pair and from arm to opposite arm; then the same round to full "
            "torque.",
            "Wait an hour and go round once more: plastic settles under the washers.",
        ),
        caution=(
            "Plastic creeps",
            "More torque does not hold better: it crushes the plastic and the bolt is loose by "
            "next week. Use the figure.",
        ),
    ),
    Stage(
        "Feet under the legs", ("foot",), lift=DOWN, fasteners=("feet on the legs' ends",),
        say=(
            "Try each foot dry: it slides on by hand and the leg's end reaches the sole.",
            "Roughen both faces with sandpaper, spread a film of contact adhesive in the pocket, "
            "push the foot home and wipe off what comes out. Stand the frame on its feet on a "
            "level table with paper under them and leave it a day.",
        ),
    ),
    Stage(
        "Two parts of each skid", ("skid_rear",), base=("skid_front",), one=True, lift=OUT,
        fasteners=("joints of the skids",),
        say=(
            "Lay the two tongues side by side and put two bolts through from the outside, washers "
            "under head and nut. The joint is flush when the gaps at both its ends are alike.",
            "Both skids are the same, half a turn apart.",
        ),
    ),
    Stage(
        "Skids under the legs", ("skid", "skid_front", "skid_rear"), lift=DOWN,
        fasteners=("skids on the legs' ends",),
        say=(
            "Try each skid dry: both legs slide in by hand and reach the sole.",
            "Roughen the faces with sandpaper, spread a film of contact adhesive in the pockets, "
            "push both legs home and wipe off what comes out. Stand the frame on its skids on a "
            "level table with paper under them and leave it a day.",
        ),
    ),
    Stage(
        "Two halves of each guard", ("guard_right",), base=("guard_left",), one=True, lift=OUT,
        fasteners=("joints of the guards",),
        say=("Bolt the blocks of the two rims together, face to face, both flat on the table.",),
    ),
    Stage(
        "Motor mounts onto the arms",
        ("mount", "motor", "cap", "guard", "guard_left", "guard_right"), under=("cap",),
        fasteners=("motor mounts on the arms",),
        say=(
            "Lead the motor wires their way (chapter Wiring) before the mount goes down.",
            "Tighten crosswise, in two rounds as before.",
        ),
    ),
    Stage(
        "Wire clips onto the arms", ("clip",), fasteners=("wire clips on the arms",),
        say=(
            "Lead each motor's wires along the top of its arm; those of a lower motor come up "
            "beside the arm first.",
            "Set the clips where the picture shows, wires in their troughs, and pull one tie round "
            "each clip and its arm, in the clip's grooves. Leave a loose loop at the motor.",
            "In front of the plates the wires go down beside the arm and in between the plates: "
            "no bend tighter than four times a wire's diameter, none over a sharp edge.",
            "Turn every motor by hand: no wire may come near the blades' way.",
        ),
    ),
    Stage(
        "Flight controller and electronics", ("flight_controller", "others"),
        fasteners=("flight controller on its seat",),
        say=(
            "Arrow of the flight controller to the nose.",
            "Solder and plug the wires by the table in the chapter on wiring. Tie them down every "
            "50 mm, away from propellers and edges.",
        ),
        final=True,
    ),
    Stage(
        "Payload carrier into its rails", ("carrier",), lift=DOWN,
        fasteners=("payload carrier in its rails",),
        say=(
            "{carrier}",
            "Slide the carrier between the lips from an open end and put one pin through each rail "
            "from below, lock nut on top, down to the washer and no tighter. To swap "
            "payloads take out the two pins.",
        ),
        final=True,
    ),
    Stage(
        "Battery and payload", ("battery", "payload"), lift=DOWN,
        say=("Two straps, pulled tight. Slide the battery to where the chapter on balance says.",),
        caution=(
            "Propellers stay off",
            "From here on the aircraft can be powered. No propeller goes on before every bench "
            "check has passed.",
        ),
        final=True,
    ),
)  # fmt: skip


def stages_of(study: Study) -> tuple[tuple[Stage, tuple[Fastener, ...]], ...]:
    """The steps that this airframe needs, each with its fasteners, every fastener in just one."""
    placed = {each.key for each in study.assembly.placements}
    others = tuple(sorted(key for key in placed if key.startswith("other_")))
    listed = {spec.key for spec in study.parts}
    placed |= {NUTS} if study.frame.seat.threads == "nuts" else set()
    known = {key for stage in STAGES for key in stage.parts + stage.base}
    extra = [_own(study, spec.key) for spec in study.parts if spec.key not in known]
    ordered = [s for s in STAGES if not s.final] + extra + [s for s in STAGES if s.final]
    kept = [_present(stage, placed | listed, others) for stage in ordered]
    return tuple(_with_fasteners([stage for stage in kept if stage is not None], study.fasteners))


def _own(study: Study, key: str) -> Stage:
    """A step for a part that no stage names."""
    spec = next(each for each in study.parts if each.key == key)
    heights = [float(p.translation[2]) for p in study.assembly.placements if p.key == key]
    lift = DOWN if heights and max(heights) < 0 else UP
    title = f"{capital(spec.name)}: {count(spec.quantity, 'piece')}"
    say = (f"Fit the {spec.name} as the picture shows, with the fasteners below.",)
    return Stage(title, (key,), lift=lift, fasteners=(spec.name,), say=say)


def _present(stage: Stage, known: set[str], others: tuple[str, ...]) -> Stage | None:
    """The stage with only what this airframe has; None where nothing is new in it."""
    wanted = tuple(k for key in stage.parts for k in (others if key == "others" else (key,)))
    parts = tuple(key for key in wanted if key in known)
    base = tuple(key for key in stage.base if key in known)
    if (stage.only and stage.only not in known) or stage.unless in known:
        return None
    if not parts or (stage.base and not base):
        return None
    return replace(stage, parts=parts, base=base)


def _with_fasteners(
    stages: Sequence[Stage], fasteners: Sequence[Fastener]
) -> Iterator[tuple[Stage, tuple[Fastener, ...]]]:
    """Each fastener to the stage whose words fit its place best; inserts to the first such."""
    taken: dict[int, list[Fastener]] = {}
    for fastener in fasteners:
        taken.setdefault(_home(stages, fastener), []).append(fastener)
    for number, stage in enumerate(stages):
        yield stage, tuple(taken.get(number, ()))


def _home(stages: Sequence[Stage], fastener: Fastener) -> int:
    fits = [
        (len(words), number)
        for number, stage in enumerate(stages)
        for words in stage.fasteners
        if fastener.where.startswith(words) or words in fastener.where
    ]
    if not fits:
        if not stages:
            raise BuildError("the book has no steps to put fasteners into")
        closing = [n for n, stage in enumerate(stages) if "upper_plate" in stage.parts]
        return closing[0] if closing else len(stages) - 1
    return max(fits, key=lambda fit: (fit[0], -fit[1]))[1]
