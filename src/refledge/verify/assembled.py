"""What the whole airframe is joined from, whatever the mesh: pieces, places, joints, riders."""

from dataclasses import dataclass

from refledge.airframe.inventory import Lump
from refledge.solids.synthesis import Joint, Riding
from refledge.study import Study
from refledge.verify.beam_forces import gathered
from refledge.verify.pieces import (
    BELLY,
    CONTROLLER,
    GUARDS,
    MOTOR,
    SMALL,
    Piece,
    Place,
    met,
    pieces,
    places,
)

At = tuple[str, str]
"""Copy and port."""


@dataclass(frozen=True, eq=False)
class Assembled:
    """What does not change with the mesh."""

    pieces: tuple[Piece, ...]
    places: tuple[Place, ...]
    joints: tuple[Joint, ...]
    riding: tuple[Riding, ...]
    motors: tuple[At, ...]
    """Port under each rotor's motor."""
    controller: At
    belly: At

    @property
    def watched(self) -> tuple[At, ...]:
        return (*self.motors, self.controller, self.belly)


def assembled(study: Study) -> Assembled:
    """Pieces, where they stand, which ports meet, and what rides where."""
    made, put = pieces(study), places(study)
    motors = tuple(_motor_port(study, rotor) for rotor in range(study.layout.n_rotors))
    (seat,) = (each.name for each in put if each.key == "seat")
    (tray,) = (each.name for each in put if each.key == "tray")
    controller, belly = (seat, CONTROLLER), (tray, BELLY)
    ports = [*motors, controller, belly]
    riding = tuple(
        Riding(copy, port, *gathered(lumps))
        for (copy, port), lumps in zip(ports, carried(study), strict=True)
        if lumps
    )
    joints = tuple(Joint(one, other) for one, other in met(made, put))
    return Assembled(made, put, joints, riding, motors, controller, belly)


def _motor_port(study: Study, rotor: int) -> At:
    arm = int(study.layout.arm_of_rotor[rotor]) + 1
    return (f"mount {arm}" if study.layout.upper[rotor] else f"lower mount {arm}", MOTOR)


def carried(study: Study) -> tuple[list[Lump], ...]:
    """Items on each motor, on the controller's seat and under the tray, in that order."""
    layout, lumps = study.layout, study.assessment.lumps
    tips = [
        _of_rotor(
            [
                lump
                for lump in lumps
                if lump.arm == layout.arm_of_rotor[rotor] and lump.part in ("", "clip", *GUARDS)
            ],
            bool(layout.upper[rotor]),
            layout.paired,
        )
        for rotor in range(layout.n_rotors)
    ]
    middle = [
        lump
        for lump in lumps
        if lump.arm < 0 and lump.fixed and (lump.part in ("", *SMALL) or lump.group == "fasteners")
    ]
    above = [lump for lump in middle if lump.centre[2] > 0.0]
    return (*tips, above, [lump for lump in middle if lump.centre[2] <= 0.0])


def _of_rotor(lumps: list[Lump], upper: bool, paired: bool) -> list[Lump]:
    """Of an arm's tip, what belongs to the upper or the lower rotor of a pair."""
    if not paired:
        return lumps
    heights = [lump.centre[2] for lump in lumps]
    split = (max(heights) + min(heights)) / 2
    return [lump for lump in lumps if (lump.centre[2] > split) == upper]
