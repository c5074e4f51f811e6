"""From what broke to what to print, how long that takes, what to do and what to look at after."""

from collections.abc import Sequence
from dataclasses import dataclass

from refledge.errors import InputError, Problem
from refledge.repair.interfaces import Fit, fit, least_reprint
from refledge.repair.record import BuildRecord, PartRecord

ALIASES = {"plates": ("upper_plate", "lower_plate")}
"""Words of the crash page that stand for several parts."""


@dataclass(frozen=True)
class Job:
    """Copies of one part to print."""

    part: PartRecord
    copies: int
    why: str

    @property
    def seconds(self) -> float:
        """s, one after the other, warm-up left out."""
        return self.copies * self.part.seconds


@dataclass(frozen=True)
class Mending:
    """One repair, planned."""

    broken: tuple[tuple[str, int], ...]
    """Part and the number of the arm or leg, 0 where there is but one."""
    jobs: tuple[Job, ...]
    steps: tuple[str, ...]
    checks: tuple[str, ...]
    fits: tuple[Fit, ...]
    """Only where an older aircraft is mended with parts of a newer design."""
    warm_up: float
    prints: int
    """The user's own prints behind the times; 0 where they are the model's alone."""

    @property
    def seconds(self) -> float:
        """s of printing with one warm-up."""
        return sum(job.seconds for job in self.jobs) + (self.warm_up if self.jobs else 0.0)


def parse_broken(words: Sequence[str], record: BuildRecord) -> tuple[tuple[str, int], ...]:
    """``arm 2`` or ``tray`` to part and number; raises InputError."""
    found: list[tuple[str, int]] = []
    keys = [part.key for part in record.parts]
    for word in words:
        name, _, number = word.replace(":", " ").strip().partition(" ")
        wanted = ALIASES.get(name, (name,))
        if name == "arm" and "arm" not in keys:
            wanted = ("arm_inner", "arm_outer")
        if name == "leg" and "leg" not in keys:
            wanted = ("leg_upper", "leg_lower")
        if any(each not in keys for each in wanted) or (number and not number.isdigit()):
            raise InputError(
                Problem("command line", "--broke", f'"{word}"', ", ".join([*keys, *ALIASES]),
                        'name a part of the build, with its number, such as "arm 2"')
            )  # fmt: skip
        found += [(each, int(number or 0)) for each in wanted]
    return tuple(found)


def mend(
    broken: Sequence[tuple[str, int]], record: BuildRecord, older: BuildRecord | None = None
) -> Mending:
    """Plan the repair of ``broken`` parts with parts of ``record``.

    older: the build that the aircraft in the air was made from, where it is another.
    """
    wanted = list(dict.fromkeys(key for key, _ in broken))
    copies = {key: sum(1 for each, _ in broken if each == key) for key in wanted}
    why = dict.fromkeys(wanted, "broken")
    fits: tuple[Fit, ...] = ()
    if older is not None:
        fits = tuple(fit(key, older.joints, record.joints) for key in wanted)
        needed = [each.part for each in fits if not each.fits]
        for key in least_reprint(needed, older.joints, record.joints):
            part = record.part(key)
            if part is None:
                continue
            alone = "broken, and its old copies do not match" if key in why else ""
            copies[key] = part.quantity
            why[key] = alone or "must match the new parts"
    jobs = [Job(p, copies[p.key], why[p.key]) for p in record.parts if p.key in copies]
    return Mending(
        broken=tuple(broken),
        jobs=tuple(jobs),
        steps=_steps(broken, [job.part.key for job in jobs], record),
        checks=_checks([job.part.key for job in jobs]),
        fits=fits,
        warm_up=record.warm_up,
        prints=record.prints,
    )


def _steps(
    broken: Sequence[tuple[str, int]], keys: Sequence[str], record: BuildRecord
) -> tuple[str, ...]:
    """Off in the order that gets at things, on in the reverse."""
    numbers = {key: [n for each, n in broken if each == key and n] for key in keys}
    off = [step for key in _OFF if key in keys for step in [_taking_off(key, numbers[key], record)]]
    torque = _torque_words(record)
    return (
        "Battery out and away before anything else. Propellers off.",
        "Photograph the break; log it with refledge log crash before the pieces are swept up.",
        *off,
        "Clean inserts and holes; replace every lock nut that came off and every bent bolt.",
        "Put the new parts on in the reverse order, each bolt loose until all of the joint are in.",
        f"Tighten crosswise{torque}.",
    )


_OFF = (
    "guard", "guard_left", "guard_right", "clip",
    "cover", "mount", "cap", "mast", "receiver_holder", "antenna_holder",
    "foot", "skid", "skid_front", "skid_rear", "leg", "leg_lower", "leg_upper", "carrier", "tray",
    "rail", "seat", "arm", "arm_outer", "arm_inner", "root_block", "lower_plate", "upper_plate",
)  # fmt: skip
_TAKING = {
    "mount": "Motor mount{n}: unplug or unsolder the motor, undo the screws through the arm's end, "
    "lift the mount off (and the guard on it, if it has one), move the motor over.",
    "cap": "Tube cap{n}: undo its screws.",
    "leg": "Leg{n}: undo the two outer clamp bolts of its arm one at a time, leaving the inner "
    "pair tight; the leg comes off below. Where it stands in a foot or a skid, cut that sleeve "
    "open first.",
    "leg_lower": "Lower leg part{n}: undo the two bolts of the joint. Where it stands in a foot or "
    "a skid, cut that sleeve open first.",
    "leg_upper": "Upper leg part{n}: undo the two bolts of the joint, then the two outer clamp "
    "bolts of its arm one at a time, leaving the inner pair tight.",
    "clip": "Wire clip{n}: cut its tie; a new tie holds the new clip.",
    "foot": "Foot{n}: cut the sleeve open with a knife away from you, scrape the glue off the leg.",
    "guard": "Guard{n}: propeller off, undo the four screws through the mount beside it, lift it "
    "off over the motor.",
    "guard_left": "Left half of guard{n}: propeller off, undo the two bolts of the joint and the "
    "two screws through the mount beside it, lift it off.",
    "guard_right": "Right half of guard{n}: propeller off, undo the two bolts of the joint and the "
    "two screws through the mount beside it, lift it off.",
    "skid": "Skid{n}: cut both sleeves open with a knife away from you, scrape the glue off the "
    "legs.",
    "skid_front": "Skid part, left front or right rear{n}: undo the two bolts of the joint, "
    "cut the sleeve open with a knife away from you, scrape the glue off the leg.",
    "skid_rear": "Skid part, left rear or right front{n}: undo the two bolts of the joint, "
    "cut the sleeve open with a knife away from you, scrape the glue off the leg.",
    "tray": "Battery tray: straps off, undo its four screws under the lower plate; payload rails, "
    "if it has any, move over to the new tray on the bench.",
    "rail": "Payload rail{n}: carrier out and battery tray off first, then undo the rail's two "
    "screws on the bench.",
    "carrier": "Payload carrier: take out its two pins and slide it out.",
    "seat": "Flight-controller seat: mark which way the controller points, unplug it, undo the "
    "seat's four screws (a damped one's four nuts) under the upper plate.",
    "mast": "Mast: mark which way its item points, take the item off, undo the four clamp bolts of "
    "its arm one pair at a time.",
    "cover": "Cover: press both tongues outwards below the seat's plate and lift it off.",
    "receiver_holder": "Receiver holder: press its tongues outwards and lift the receiver out, "
    "undo the two inner clamp bolts of its arm.",
    "antenna_holder": "Antenna holder: cut the glue at the tubes' upper ends, draw the antennas "
    "out downwards, undo the two inner clamp bolts of its arm.",
    "arm": "Arm{n}: undo the four clamp bolts (a leg there comes off too), pull the wire out "
    "through the bore, slide the arm out between the plates.",
    "arm_outer": "Outer arm part{n}: undo the four lap bolts, pull the wire through.",
    "arm_inner": "Inner arm part{n}: outer part off first, then the four clamp bolts.",
    "root_block": "Half blocks{n}: undo the four clamp bolts, take the tube out.",
    "lower_plate": "Lower plate: tray and legs off, every clamp bolt out; keep the arms between "
    "the plates with two bolts each until the new plate is under them.",
    "upper_plate": "Upper plate: seat off, every clamp bolt out from above; the arms stay on the "
    "lower plate.",
}


_FOLDING = {
    "arm": "Arm{n}: take out lock and pivot (the leg there stays on its own screw), pull the wire "
    "out through the bore, slide the arm out between the plates; ream the new one's bores.",
    "arm_inner": "Inner arm part{n}: outer part off first, then lock and pivot; ream the new "
    "part's bores.",
}
"""Where the arms fold."""


def _folds(record: BuildRecord) -> bool:
    return any(where.startswith("pivots of the arms") for where in record.torques)


def _taking_off(key: str, numbers: Sequence[int], record: BuildRecord) -> str:
    legs = {number: record.leg_arms[number - 1] for number in numbers
            if key in ("leg", "leg_upper") and number <= len(record.leg_arms)}  # fmt: skip
    words = [f"{n} (under arm {legs[n]})" if n in legs else str(n) for n in numbers]
    known = _TAKING | (_FOLDING if _folds(record) else {})
    return known[key].format(n=f" {', '.join(words)}" if words else "")


_TIGHTENED = {
    "clamp bolts": "between the plates",
    "pivots": "pivots of the arms",
    "locks": "locks of the arms",
}
"""Name of a bolt to words of the place that the bolts list gives it."""


def _torque_words(record: BuildRecord) -> str:
    told = [
        f"{name} to {value:.2f} N·m"
        for name, words in _TIGHTENED.items()
        for value in [v for where, v in record.torques.items() if words in where][:1]
    ]
    return "".join(f", {each}" for each in told)


def _checks(keys: Sequence[str]) -> tuple[str, ...]:
    """What to look at before it flies."""
    arms = any(key.startswith("arm") or key in ("root_block", "tube") for key in keys)
    own = []
    if arms:
        own.append("Proof-load each new arm: the frame held, pull at the motor as the build book "
                   "says; it must spring back.")  # fmt: skip
        own.append("Tap the new arm: its note should be that of its neighbours (refledge tap).")
    if "mount" in keys or arms:
        own.append("Motor order and direction, propellers still off; then propellers the right "
                   "way round.")  # fmt: skip
    if "seat" in keys:
        own.append("Flight controller points to the nose; calibrate its level and compass.")
    return (
        "Every printed part that did not break: look along layer lines and at bolt holes for "
        "white marks and hair cracks; bend each arm and listen.",
        "Battery: swollen, dented, hot or torn ones do not fly again.",
        "Motor shafts straight, bells free, no grit; blades without nicks.",
        *own,
        "Nothing loose when shaken; all bolts marked.",
        "Short hover in the open at arm's-length height, away from people; land, feel motors, "
        "check bolts again.",
        "Log it: refledge log repair, and refledge log part for each new copy.",
    )
