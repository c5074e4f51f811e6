"""One airframe ready to be struck: where it may touch, where it may break."""

from dataclasses import dataclass

from refledge.airframe.assessment import Assessment
from refledge.airframe.blows.places import Contact, Place, contacts, places
from refledge.airframe.blows.sprung import sprung
from refledge.airframe.task import Task
from refledge.analysis.frame import BeamFrame
from refledge.model.parts import FrameDesign


@dataclass(frozen=True, eq=False)
class Struck:
    """What a blow needs to know."""

    frame: BeamFrame
    points: tuple[Contact, ...]
    where: tuple[Place, ...]
    parts: tuple[str, ...]


def make_struck(task: Task, frame: FrameDesign, found: Assessment) -> Struck:
    """The sized frame with its contact points and the places at which it may break."""
    where = places(task, frame, found)
    return Struck(
        frame=sprung(task, frame, found),
        points=contacts(task, frame, found),
        where=where,
        parts=tuple(dict.fromkeys(place.part for place in where)),
    )
