"""Lines of the bolts list for folding arms: pivots, locks, the legs' own screws."""

from refledge.airframe.bolting import Lengths, bolt, grip_of_clamp, through
from refledge.airframe.hinge import lock_lengths, lock_tension
from refledge.analysis.joints import bolt_torque
from refledge.geometry.hinge import hinge_of, lock_screw
from refledge.model.fasteners import Hardware, ShearBolt
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener


def hinge_lines(
    frame: FrameDesign, hardware: Hardware, lengths: Lengths, preload: float
) -> tuple[Fastener, ...]:
    """Needs a hinge. preload: N, what the plastic under the pivots' washers allows."""
    screw, grip = hardware.screws[frame.clamp.screw], grip_of_clamp(frame)
    torque, legs = float(bolt_torque(preload, screw.diameter)), frame.leg.count
    flange = frame.leg.flange_thickness
    plain, long = through(screw, grip, lengths), through(screw, grip + flange, lengths)
    loosen = "loosen by half a turn to fold, tighten again once the lock is in"
    own = through(screw, frame.plate.thickness + flange, lengths)
    sunk = "countersunk, ISO 10642; from above, before the arms go on"
    return (
        bolt(screw, plain, frame.n_arms - legs, "pivots of the arms", torque, nut=True,
             note=loosen),
        bolt(screw, long, legs, "pivots of the arms, with leg flange", torque, nut=True,
             note=loosen),
        _locks(frame, hardware, preload),
        bolt(screw, own, legs, "legs on the lower plate", torque, nut=True, note=sunk),
    )  # fmt: skip


def _locks(frame: FrameDesign, hardware: Hardware, preload: float) -> Fastener:
    lock = lock_screw(frame, hardware)
    length = through(lock, grip_of_clamp(frame), lambda _: lock_lengths(hinge_of(frame)))
    torque = float(bolt_torque(lock_tension(lock, preload), lock.diameter))
    note = "in before every flight; out to fold"
    if isinstance(lock, ShearBolt):
        note = (
            "shears in a crash: carry spares; no steel in its place. Cut its end off two turns "
            f"beyond the nut. {note[0].upper()}{note[1:]}"
        )
    return bolt(lock, length, frame.n_arms, "locks of the arms", torque, nut=True, note=note)
