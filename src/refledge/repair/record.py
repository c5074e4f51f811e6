"""What a build must remember for the day after a crash: files, times, mating features."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from refledge.errors import BuildError
from refledge.model.results import PartSpec
from refledge.printing.calibration import Calibration
from refledge.printing.posed import time_posed
from refledge.repair.interfaces import Joint, joints_of, revisions
from refledge.repair.spares import Spare
from refledge.study import Study

SCHEMA = 1
JOULES = 3.6e6
"""J in a kWh."""


@dataclass(frozen=True)
class PartRecord:
    """One kind of printed part."""

    key: str
    name: str
    quantity: int
    material: str
    mass: float  # kg each, as it flies
    plastic: float  # kg each, with support
    seconds: float  # s to print one, warm-up left out
    cost: float  # filament and electricity of one, in the currency of the prices
    revision: str
    file: str


@dataclass(frozen=True, eq=False)
class BuildRecord:
    """Everything that repair needs of one build."""

    title: str
    version: str
    arms: int
    leg_arms: tuple[int, ...]
    """Arm of each leg, from 1."""
    warm_up: float  # s
    parts: tuple[PartRecord, ...]
    joints: tuple[Joint, ...]
    torques: Mapping[str, float]
    """Where a fastener sits to its torque, N m."""
    prints: int = 0
    """The user's own prints that times and plastic were fitted to."""

    def part(self, key: str) -> PartRecord | None:
        """The part of this key."""
        return next((each for each in self.parts if each.key == key), None)

    def spares(self) -> tuple[Spare, ...]:
        """Parts as what might be kept in stock."""
        return tuple(
            Spare(p.key, p.name, p.quantity, p.mass, p.cost, p.seconds) for p in self.parts
        )


def build_record(study: Study, calibration: Calibration | None = None) -> BuildRecord:
    """The record of a study; times and plastic by the user's prints where these are given."""
    printed = [spec for spec in study.parts if spec.printed]
    joints = joints_of(study.frame, study.layout, study.brief, [s.key for s in study.parts])
    found = revisions(joints)
    return BuildRecord(
        title=study.brief.title,
        version=study.version,
        arms=study.frame.n_arms,
        leg_arms=tuple(arm + 1 for arm in study.frame.leg.arms),
        warm_up=study.brief.printer.warm_up,
        parts=tuple(_part(study, spec, found[spec.key], calibration) for spec in printed),
        joints=joints,
        torques={line.where: line.torque for line in study.fasteners if line.torque},
        prints=calibration.records if calibration else 0,
    )


def _part(
    study: Study, spec: PartSpec, revision: str, calibration: Calibration | None
) -> PartRecord:
    brief, card = study.brief, study.cards[spec.material]
    mesh = study.assembly.meshes[spec.key]
    figures = time_posed(mesh, spec.print_rotation, brief.frame, brief.printer)
    seconds, plastic = figures.seconds, card.rho.value * figures.plastic
    if calibration is not None:
        seconds, _ = calibration.seconds(figures)
        plastic = card.rho.value * calibration.plastic_of(figures)
    price = (card.price_low.value + card.price_high.value) / 2
    energy = seconds * brief.printer.power / JOULES * brief.printer.energy_price
    return PartRecord(
        key=spec.key,
        name=spec.name,
        quantity=spec.quantity,
        material=spec.material,
        mass=spec.mass,
        plastic=plastic,
        seconds=seconds,
        cost=plastic * price + energy,
        revision=revision,
        file=f"parts/{spec.key}.3mf",
    )


def from_plain(document: Mapping[str, Any]) -> BuildRecord:
    """The record out of what JSON holds of it."""
    if document.get("schema") != f"refledge repair {SCHEMA}":
        raise BuildError(
            f"repair.json is {document.get('schema', 'no record')}; "
            "design the build again with this version"
        )
    body = document["record"]
    return BuildRecord(
        title=body["title"],
        version=body["version"],
        arms=body["arms"],
        leg_arms=tuple(body["leg_arms"]),
        warm_up=body["warm_up"],
        parts=tuple(PartRecord(**each) for each in body["parts"]),
        joints=tuple(
            Joint(j["key"], j["title"], tuple(j["parts"]), j["features"]) for j in body["joints"]
        ),
        torques=body["torques"],
        prints=body.get("prints", 0),
    )
