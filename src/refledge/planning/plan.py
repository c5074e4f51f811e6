"""The print plan of a study: a pose for each part with its reasons, time, plastic, cost, plates."""

from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, replace
from math import pi

from refledge.model.materials import MaterialCard
from refledge.model.results import PartSpec
from refledge.planning.loads import grown_part, mating_faces, part_fibres
from refledge.printing.calibration import Calibration, calibrate
from refledge.printing.orienting import PoseScore, score_poses
from refledge.printing.plates import Bed, Piece, Plate, lay_out, on_some_bed
from refledge.study import Study

Progress = Callable[[str, float], None]

RANKS = (
    "lower_plate", "upper_plate", "arm_inner", "arm_outer", "arm", "root_block", "cap", "mount",
    "guard", "guard_left", "guard_right", "leg", "leg_upper", "leg_lower",
    "foot", "skid", "skid_front", "skid_rear", "tray",
    "rail", "seat", "cover", "mast", "receiver_holder", "antenna_holder", "carrier", "clip",
)  # fmt: skip
"""Order in which the build takes parts up: plates and arms make the frame that all else goes on."""
WORTH = 0.05
"""Share of the cost that another pose must save before the pose that sizing assumes is left."""


@dataclass(frozen=True, eq=False)
class PlannedPart:
    """One kind of part as it will be printed."""

    spec: PartSpec
    """With the pose chosen."""
    chosen: PoseScore
    others: tuple[PoseScore, ...]
    """What else was timed, cheapest first."""
    has_loads: bool
    """True where the beam frame knows stresses in the part."""
    seconds: float
    """Of one copy."""
    spread: float
    """Standard uncertainty of that, s."""
    mass: float
    """Of one copy with its support, kg."""
    length: float
    """Filament for one copy, m."""
    price: tuple[float, float]
    """Filament for one copy, lowest and highest, in the currency of the material card."""
    energy: float
    """J, one copy."""
    reason: str
    next_best: str


@dataclass(frozen=True, eq=False)
class PrintPlan:
    """All parts of one airframe on their way to the printer."""

    parts: tuple[PlannedPart, ...]
    plates: tuple[Plate, ...]
    """In the order of printing."""
    calibration: Calibration
    drying: tuple[tuple[str, str], ...]
    """Material and what to do with the spool before."""
    prints: str
    """Where the prints behind the times came from, in words; "" where there are none."""
    poses_changed: tuple[str, ...]
    """Parts that lie otherwise than sizing assumed; their layers still lie as it assumed."""
    too_large: tuple[str, ...] = ()
    """Keys of parts that fit no bed: on no plate, though their figures are in all sums."""

    @property
    def seconds(self) -> float:
        """Every copy, one after the other, warm-up left out."""
        return sum(part.spec.quantity * part.seconds for part in self.parts)

    @property
    def spread(self) -> float:
        """Standard uncertainty of that, s; the model's error is common to all parts."""
        return sum(part.spec.quantity * part.spread for part in self.parts)

    @property
    def mass(self) -> float:
        """Filament for everything, kg."""
        return sum(part.spec.quantity * part.mass for part in self.parts)

    @property
    def price(self) -> tuple[float, float]:
        """Of the filament, lowest and highest."""
        low = sum(part.spec.quantity * part.price[0] for part in self.parts)
        return low, sum(part.spec.quantity * part.price[1] for part in self.parts)

    @property
    def energy(self) -> float:
        """J, printing alone."""
        return sum(part.spec.quantity * part.energy for part in self.parts)


GROWN = "the pose that it was grown and solved for; its layers stand as its strength was found"
FILAMENT = 1.75e-3
"""m; the usual filament (common practice, no source)."""


def plan_prints(
    study: Study,
    calibration: Calibration | None = None,
    beds: Sequence[Bed] = (),
    progress: Progress | None = None,
) -> PrintPlan:
    """Poses, figures and plates of every printed part.

    beds: printers to share the work; the brief's alone where none is named.
    """
    tell = progress or (lambda _what, _share: None)
    found = calibration or calibrate()
    printed = [spec for spec in study.parts if spec.printed]
    parts = []
    for number, spec in enumerate(printed):
        tell(f"pose of {spec.name}", number / (len(printed) + 1))
        parts.append(_planned(study, spec, found))
    tell("plates", len(printed) / (len(printed) + 1))
    materials = sorted({part.spec.material for part in parts})
    return PrintPlan(
        parts=tuple(parts),
        plates=tuple(_plates(parts, beds or _own_bed(study))),
        calibration=found,
        prints="",
        drying=tuple((study.cards[key].name, study.cards[key].drying) for key in materials),
        poses_changed=tuple(part.spec.name for part in parts if part.chosen.label != "as sized"),
        too_large=tuple(p.spec.key for p in parts if not _lies_on(p, beds or _own_bed(study))),
    )


def calibrated(
    study: Study, plan: PrintPlan, calibration: Calibration, prints: str, beds: Sequence[Bed] = ()
) -> PrintPlan:
    """The plan with times and plastic by the user's prints; the poses stay as they are.

    prints: where those came from, in words.
    """
    parts = tuple(
        replace(part, **asdict(_taken(study, part.spec, part.chosen, calibration)))
        for part in plan.parts
    )
    plates = tuple(_plates(parts, beds or _own_bed(study)))
    return replace(plan, parts=parts, plates=plates, calibration=calibration, prints=prints)


def _own_bed(study: Study) -> tuple[Bed]:
    printer = study.brief.printer
    return (Bed("the brief's printer", printer.bed_length, printer.bed_width),)


def _planned(study: Study, spec: PartSpec, calibration: Calibration) -> PlannedPart:
    brief = study.brief
    fibres = part_fibres(study, spec.key)
    scores = score_poses(
        study.assembly.meshes[spec.key],
        spec.print_rotation,
        fibres,
        mating_faces(study, spec.key),
        brief.frame,
        brief.printer,
    )
    chosen = _as_sized(scores) if grown_part(study, spec.key) else _choose(scores)
    others = tuple(score for score in scores if score is not chosen)
    taken = _taken(study, spec, chosen, calibration)
    return PlannedPart(
        spec=_posed(spec, chosen),
        chosen=chosen,
        others=others,
        has_loads=bool(fibres),
        seconds=taken.seconds,
        spread=taken.spread,
        mass=taken.mass,
        length=taken.length,
        price=taken.price,
        energy=taken.energy,
        reason=GROWN if grown_part(study, spec.key) else _reason(chosen, bool(fibres)),
        next_best=_next_best(chosen, others),
    )


@dataclass(frozen=True)
class _Taken:
    """What one copy takes, as the fields of PlannedPart of these names."""

    seconds: float
    spread: float
    mass: float
    length: float
    price: tuple[float, float]
    energy: float


def _taken(study: Study, spec: PartSpec, chosen: PoseScore, calibration: Calibration) -> _Taken:
    card = study.cards[spec.material]
    seconds, spread = calibration.seconds(chosen.figures)
    plastic = calibration.plastic_of(chosen.figures)
    return _Taken(
        seconds=seconds,
        spread=spread,
        mass=plastic * card.rho.value,
        length=plastic / (pi / 4 * FILAMENT**2),
        price=_price(card, plastic),
        energy=seconds * study.brief.printer.power,
    )


def _as_sized(scores: Sequence[PoseScore]) -> PoseScore:
    return next(score for score in scores if score.label == "as sized")


def _choose(scores: Sequence[PoseScore]) -> PoseScore:
    """The cheapest pose that holds, fits, and keeps the layers as sizing assumed.

    A pose that lays the layers otherwise would change the stiffness that the beams were given, so
    it is shown but not taken: the choice then never sends the sizing round again.
    """
    assumed = _as_sized(scores)
    able = [s for s in scores if s.fits and s.layer_use <= 1.0 and s.as_sized]
    best = min(able, key=lambda s: s.cost, default=assumed)
    if assumed in able and best.cost > (1 - WORTH) * assumed.cost:
        return assumed
    return best


def _posed(spec: PartSpec, chosen: PoseScore) -> PartSpec:
    if chosen.label == "as sized":
        return spec
    note = f"{chosen.label} down, saves time or support against the usual pose"
    return replace(spec, print_rotation=chosen.rotation, size=chosen.size, print_note=note)


def _price(card: MaterialCard, plastic: float) -> tuple[float, float]:
    mass = plastic * card.rho.value
    return mass * card.price_low.value, mass * card.price_high.value


def _reason(score: PoseScore, loaded: bool) -> str:
    parts = [
        f"layer boundaries used to {score.layer_use:.0%}" if loaded else "no stress results of its "
        "own: judged by support, time and mating faces",
        "no support" if score.support.area < 1e-5 else
        f"support under {1e4 * score.support.area:.0f} cm²",
        f"{1e3 * score.size[2]:.0f} mm tall",
    ]  # fmt: skip
    if score.scarred > 0.0:
        parts.append(f"{score.scarred:.0%} of its mating faces lie on support")
    return "; ".join(parts)


def _next_best(chosen: PoseScore, others: Sequence[PoseScore]) -> str:
    """What the best of the other poses would cost, in words."""
    if not others:
        return "no other pose stands"
    other = others[0]
    more = (other.figures.seconds - chosen.figures.seconds) / 60
    words = [f"{other.label}: {more:+.0f} min"]
    support = 1e6 * (other.support.plastic - chosen.support.plastic)
    if abs(support) > 0.05:
        words.append(f"{support:+.1f} cm³ of support")
    if other.layer_use > 1.0:
        words.append(f"breaks between layers ({other.layer_use:.0%})")
    if not other.as_sized:
        words.append("layers lie otherwise than sized for")
    if not other.fits:
        words.append("does not fit the bed")
    return ", ".join(words)


def _plates(parts: Sequence[PlannedPart], beds: Sequence[Bed]) -> list[Plate]:
    """Plates of all materials, those that the build waits for first."""
    plates: list[Plate] = []
    for material in sorted({part.spec.material for part in parts}):
        pieces = [
            Piece(p.spec.key, copy, p.spec.size[0], p.spec.size[1], p.seconds, _rank(p.spec.key))
            for p in parts
            if p.spec.material == material and _lies_on(p, beds)
            for copy in range(1, p.spec.quantity + 1)
        ]
        plates += lay_out(pieces, beds, material)
    return sorted(plates, key=lambda plate: (plate.rank, -plate.seconds))


def _lies_on(part: PlannedPart, beds: Sequence[Bed]) -> bool:
    length, width, _ = map(float, part.spec.size)
    return on_some_bed((length, width), beds)


def _rank(key: str) -> int:
    return RANKS.index(key) if key in RANKS else len(RANKS)


def as_planned(study: Study, plan: PrintPlan) -> Study:
    """The study with every part posed as the plan lays it, for files and solid verification."""
    posed = {part.spec.key: part.spec for part in plan.parts}
    return replace(study, parts=tuple(posed.get(spec.key, spec) for spec in study.parts))
