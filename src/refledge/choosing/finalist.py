"""One finalist: its frame sized in full, how it flies, what it costs to make."""

from dataclasses import dataclass

from refledge.airframe.use_titles import title_of
from refledge.choosing.candidates import Candidates
from refledge.choosing.flying import Flying, flying
from refledge.choosing.making_cost import Making, making_of
from refledge.choosing.picking import Pick
from refledge.choosing.sized import size_layout
from refledge.errors import AnalysisError, FlightError, GeometryError
from refledge.flight.turns import joined_kind
from refledge.model.brief import Brief
from refledge.model.items import Condition


@dataclass(frozen=True)
class Miss:
    """A wish of the brief that is not kept."""

    what: str
    found: float
    wanted: float
    unit: str
    shown: str


@dataclass(frozen=True)
class Buy:
    """An item of which more are needed than are sound."""

    name: str
    needed: int
    sound: int
    suspect: int


@dataclass(frozen=True, eq=False, kw_only=True)
class Finalist:
    """Everything that is compared."""

    key: str
    """A letter."""
    candidate: int
    """Number in the sweep; -1 for the brief's own free layout."""
    reasons: tuple[str, ...]
    kind: str
    """With its turns where they do not alternate."""
    rotors: int
    propeller: str
    pack: str
    motor: str
    arm: str
    """Family and material."""
    feasible: bool
    """The frame keeps every structural limit of the brief."""
    worst: str
    """The limit that the frame comes nearest to, or misses by most."""
    all_up_mass: float  # kg
    frame_mass: float  # kg
    swept_frame_mass: float
    """kg, the sweep's; 0 where it was not swept."""
    residual: float  # kg, of the mass closure
    motor_radius: float  # m
    footprint: float  # m
    making: Making
    flying: Flying
    misses: tuple[Miss, ...]
    to_buy: tuple[Buy, ...]

    @property
    def holds(self) -> bool:
        """The frame keeps its limits and the aircraft the brief's wishes."""
        return self.feasible and not self.misses


@dataclass(frozen=True)
class Dropped:
    """A pick that could not be sized."""

    kind: str
    why: str


@dataclass(frozen=True, eq=False)
class Wanted:
    """One pick on its way to be sized, complete in itself so that another process can do it."""

    key: str
    pick: Pick
    brief: Brief
    candidates: Candidates
    first_mass: float  # kg, all-up
    swept_frame_mass: float  # kg


def make_finalist(wanted: Wanted) -> Finalist | Dropped:
    """Size the frame, fly it, judge it."""
    brief = wanted.brief
    rotor = wanted.candidates.rotor_of(max(wanted.pick.candidate, 0))
    try:
        closed = size_layout(brief, rotor, wanted.first_mass, wanted.candidates.cards)
        sized, task = closed.sized, closed.task
        found = flying(task, sized.frame, sized.layout, sized.assessment, closed.all_up_mass)
    except (FlightError, GeometryError, AnalysisError) as error:
        return Dropped(joined_kind(brief.layout.kind, brief.layout.turn_order), str(error))
    worst = max(sized.uses, key=lambda key: sized.uses[key])
    return Finalist(
        key=wanted.key,
        candidate=wanted.pick.candidate,
        reasons=wanted.pick.reasons,
        kind=joined_kind(brief.layout.kind, brief.layout.turn_order),
        rotors=sized.layout.n_rotors,
        propeller=brief.propeller.name,
        pack=brief.battery.name,
        motor=brief.motor.name,
        arm=f"{sized.pool.family}, {sized.pool.material}",
        feasible=sized.feasible,
        worst=f"{title_of(worst)}: {sized.uses[worst]:.0%} of what is aimed at",
        all_up_mass=closed.all_up_mass,
        frame_mass=sized.frame_mass,
        swept_frame_mass=wanted.swept_frame_mass,
        residual=closed.residual,
        motor_radius=sized.layout.motor_radius,
        footprint=sized.layout.footprint,
        making=making_of(task, sized),
        flying=found,
        misses=misses_of(brief, found.hover.endurance, found.thrust_margin, closed.all_up_mass),
        to_buy=_to_buy(brief, sized.layout.n_rotors),
    )


def misses_of(brief: Brief, time: float, margin: float, mass: float) -> tuple[Miss, ...]:
    """Wishes of the brief that hover ``time``, s, thrust over weight and ``mass``, kg, miss."""
    mission, least = brief.mission, brief.limits.thrust_margin
    asked = (
        (time >= mission.hover_time, Miss("hover time", time, mission.hover_time, "s", "min")),
        (margin >= least, Miss("full thrust over weight", margin, least, "1", "1")),
        (mass <= mission.all_up_limit, Miss("all-up mass", mass, mission.all_up_limit, "kg", "kg")),
    )
    return tuple(miss for kept, miss in asked if not kept)


def _to_buy(brief: Brief, rotors: int) -> tuple[Buy, ...]:
    items: tuple[tuple[str, Condition, int], ...] = (
        (brief.motor.name, brief.motor.condition, rotors),
        (brief.propeller.name, brief.propeller.condition, rotors),
        (brief.speed_controller.name, brief.speed_controller.condition, rotors),
        (brief.battery.name, brief.battery.condition, 1),
    )
    return tuple(
        Buy(name, needed, condition.sound, condition.suspect)
        for name, condition, needed in items
        if condition.sound < needed
    )
