"""The sweep's frame mass, set by a few frames of this very brief."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from threadpoolctl import threadpool_limits

from refledge.airframe.layout_choice import first_mass
from refledge.airframe.sizing import screen
from refledge.airframe.task_making import make_task
from refledge.choosing.candidates import Candidates, with_choice
from refledge.choosing.sized import best_combination, with_drawn_arms
from refledge.errors import FlightError, GeometryError
from refledge.flight.rotor import RotorModel
from refledge.model.brief import Brief
from refledge.sweeps.frame_mass import PETG_BOX, FrameMass, calibrate

Progress = Callable[[str, float], None]
LEAST = 4
"""Frames without which the ready-made surrogate is kept: two numbers, two to judge them."""


@dataclass(frozen=True)
class Looked:
    """One frame that set the surrogate."""

    kind: str
    propeller: str
    arms: int
    radius: float  # m
    mass: float  # kg


@dataclass(frozen=True)
class Surrogate:
    """Frame mass against arms and radius, and what it was set by."""

    law: FrameMass
    frames: tuple[Looked, ...]
    """() where the ready-made law was kept."""
    family: str
    material: str


def surrogate_for(candidates: Candidates, tell: Progress) -> Surrogate:
    """A first look (``airframe.sizing.screen``) at one frame of every arrangement with the brief's
    own propeller, and with the smallest and largest of the others, all in the family and material
    that suit the first best."""
    with threadpool_limits(limits=1, user_api="blas"):
        wanted, cards = _wanted(candidates), candidates.cards
        frames: list[Looked] = []
        family = material = ""
        for number, (brief, rotor) in enumerate(wanted):
            tell("frames to set the sweep by", number / len(wanted))
            kind = brief.layout.kind
            try:
                task = make_task(
                    with_drawn_arms(brief), kind, rotor, first_mass(brief, kind), {}, cards=cards
                )
                if not family:
                    family, material = best_combination(task)
                sized = screen(task, family, material)
            except (FlightError, GeometryError):
                continue  # this one cannot be: the sweep will say so by itself
            layout = sized.layout
            frames.append(
                Looked(
                    kind,
                    brief.propeller.name,
                    layout.n_arms,
                    layout.motor_radius,
                    sized.frame_mass,
                )
            )
    if len(frames) < LEAST:
        return Surrogate(PETG_BOX, (), "box", "PETG")
    arms, radius, mass = (
        np.array([getattr(each, name) for each in frames]) for name in ("arms", "radius", "mass")
    )
    return Surrogate(calibrate(arms.astype(float), radius, mass), tuple(frames), family, material)


def _wanted(candidates: Candidates) -> list[tuple[Brief, RotorModel]]:
    """The brief with each arrangement, then six flat (or the first) with the extreme propellers."""
    own, rotor = candidates.propellers[0]
    pack, motor = candidates.packs[0], candidates.motors[0]
    plain = [kind for kind in candidates.kinds if " " not in kind]
    found = [(with_choice(candidates.brief, kind, own, pack, motor), rotor) for kind in plain]
    by_size = sorted(candidates.propellers, key=lambda each: each[0].diameter)
    middle = next((kind for kind in plain if kind.startswith("six")), plain[0])
    for propeller, model in (by_size[0], by_size[-1]):
        if propeller.diameter != own.diameter:
            brief = with_choice(candidates.brief, middle, propeller, pack, motor)
            found.append((brief, model))
    return found
