"""What is tried: layout kinds with turn orders, and every propeller, pack and motor named."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from refledge.airframe.body import body_for, least_arm_width
from refledge.airframe.layout_choice import FIRST_GUESS_OF_TORQUE
from refledge.airframe.stand import fitted_motor, with_fitted_motor
from refledge.airframe.task_making import rotor_model
from refledge.errors import GeometryError
from refledge.flight.authority import turn_orders
from refledge.flight.kinds import rotor_count
from refledge.flight.layout import lay_out
from refledge.flight.rotor import RotorModel
from refledge.flight.turns import joined_kind, split_kind, turns_text
from refledge.inputs.also import Also
from refledge.inputs.cards import material_cards
from refledge.inputs.fasteners import hardware
from refledge.model.brief import Brief
from refledge.model.items import Battery, Motor, Propeller
from refledge.model.materials import MaterialCard
from refledge.model.wishes import LayoutWish
from refledge.sweeps.grid import Grid
from refledge.sweeps.gridding import brief_grid

FLAT, PAIRED = ("four", "six", "eight"), ("three-pairs", "four-pairs")
_SPARE = 2.0  # full thrust over hover thrust at which turn orders are judged: common practice


@dataclass(frozen=True, eq=False)
class Candidates:
    """Everything that may be combined; the brief's own items come first."""

    brief: Brief
    kinds: tuple[str, ...]
    """Layout kinds, with their turns where these do not alternate."""
    propellers: tuple[tuple[Propeller, RotorModel], ...]
    packs: tuple[Battery, ...]
    motors: tuple[Motor, ...]
    left_out: tuple[str, ...]
    """Kinds that cannot be built, and why."""
    grid: Grid
    cards: Mapping[str, MaterialCard]
    """Material cards to size with."""

    def brief_of(self, number: int) -> Brief:
        """The brief with candidate ``number``'s items and layout in place of its own."""
        kind, propeller, pack, motor = (int(i[0]) for i in self.grid.indices(number, number + 1))
        return with_choice(
            self.brief,
            self.kinds[kind],
            self.propellers[propeller][0],
            self.packs[pack],
            self.motors[motor],
        )

    @property
    def own(self) -> int:
        """The candidate with the brief's own layout and items; -1 where it names no ready kind."""
        kind = joined_kind(self.brief.layout.kind, self.brief.layout.turn_order)
        if kind not in self.kinds:
            return -1
        return int(np.ravel_multi_index((self.kinds.index(kind), 0, 0, 0), self.grid.shape))

    def rotor_of(self, number: int) -> RotorModel:
        """The rotor of candidate ``number``."""
        return self.propellers[int(self.grid.indices(number, number + 1)[1][0])][1]


def with_choice(
    brief: Brief, kind: str, propeller: Propeller, pack: Battery, motor: Motor
) -> Brief:
    """``brief`` with these items and this layout; a motor radius wished for another is dropped."""
    name, turns = split_kind(kind)
    layout = replace(
        brief.layout, kind=name, turn_order=turns, arm_angles=(), pairs=False, motor_radius=None
    )
    return replace(brief, propeller=propeller, battery=pack, motor=motor, layout=layout)


def gather(brief: Brief, also: Also, cards: Mapping[str, MaterialCard] | None = None) -> Candidates:
    """All candidates about ``brief``, with motors as their stand runs show them.

    ``cards`` take the place of literature's. Raises InputError where a stand's run cannot be used.
    """
    brief = with_fitted_motor(brief)
    rotors = [
        (each, rotor_model(replace(brief, propeller=each)))
        for each in (brief.propeller, *also.propeller)
    ]
    packs = (brief.battery, *also.battery)
    reach, left_out = {}, []
    for kind in kinds_for(brief):
        try:
            reach[kind] = [_reach(brief, kind, pack) for pack in packs]
        except GeometryError as error:
            left_out.append(f"{kind}: {error}")
    if not reach:
        raise GeometryError("; ".join(left_out))
    motors = (brief.motor, *(fitted_motor(each, brief) for each in also.motor))
    return Candidates(
        brief=brief,
        kinds=tuple(reach),
        propellers=tuple(rotors),
        packs=packs,
        motors=motors,
        left_out=tuple(left_out),
        cards=dict(cards or material_cards()),
        grid=brief_grid(
            brief, rotors, list(packs), list(motors), tuple(reach), np.array(list(reach.values()))
        ),
    )


def kinds_for(brief: Brief) -> tuple[str, ...]:
    """Four to eight rotors, flat and in pairs, turning alternately or as survives most losses.

    The plus arrangement of a count has the figures of its X here, so one of them is swept: the
    brief's own, or else X, which keeps the nose clear.
    """
    found = []
    for count in FLAT:
        plus = f"{count}-plus"
        kind = plus if brief.layout.kind == plus else f"{count}-x"
        found += [joined_kind(kind, turns) for turns in ("", _hardier(kind))]
    if brief.layout.kind not in ("choose", "free"):
        found.append(joined_kind(brief.layout.kind, brief.layout.turn_order))
    return tuple(dict.fromkeys([*found, *PAIRED]))


def _hardier(kind: str) -> str:
    """The turn order that keeps its heading after more losses than alternating turns, or ""."""
    layout = lay_out(LayoutWish(), kind, 0.3, torque_ratio=FIRST_GUESS_OF_TORQUE)
    rotors = rotor_count(kind)
    orders = turn_orders(layout, np.full(rotors, _SPARE), float(rotors))
    alternating = next(each for each in orders if each.spins == layout.spin)
    best = orders[0]
    return turns_text(best.spins) if best.survived > alternating.survived else ""


def _reach(brief: Brief, kind: str, pack: Battery) -> float:
    """m: what a propeller tip must pass with the narrowest arms."""
    name, turns = split_kind(kind)
    tools = hardware()
    wish = replace(brief.layout, turn_order=turns, motor_radius=None)
    plain = lay_out(wish, name, brief.propeller.diameter, 0.0, torque_ratio=FIRST_GUESS_OF_TORQUE)
    width = least_arm_width(tools.screws[brief.frame.rod_screw])
    own = replace(brief, battery=pack)
    return body_for(own, tuple(plain.arm_angles.tolist()), plain.paired, width, tools).reach
