"""What a logbook holds: flights, crashes, damage, repairs, prints, parts in the air.

Each entry is written once and never changed; a wrong one is struck out by another. Dates are ISO
8601 texts, so that they sort by time.
"""

from dataclasses import dataclass

from refledge.model.fields import count, quantity, text
from refledge.model.fields import part as anything

OUTCOMES = ("broken", "cracked", "worn")
CASES = ("arm-tip", "nose-in", "flat-drop", "one-leg", "cartwheel", "other")


@dataclass(frozen=True, kw_only=True)
class Flight:
    """One flight."""

    seconds: float = quantity("time in the air", "s", "min", low=1.0, high=36000.0)
    note: str = text("anything worth saying", default="")


@dataclass(frozen=True, kw_only=True)
class Crash:
    """One crash; what it did to the parts is logged as damage."""

    case: str = text("how it hit", choices=CASES)
    speed: float = quantity("speed of impact, 0 where unknown", "m/s", low=0.0, high=60.0,
                            default=0.0)  # fmt: skip
    note: str = text("what happened", default="")


@dataclass(frozen=True, kw_only=True)
class Damage:
    """One part that a crash, or flying, has damaged."""

    part: str = text("part key, such as arm")
    outcome: str = text("what became of it", choices=OUTCOMES)
    serial: str = text("serial of the copy", default="")
    crash: int = count("number of the crash; 0: none, it wore out in flight", low=0, default=0)
    photo: str = text("path of a photo", default="")
    note: str = text("where it broke, what it looked like", default="")


@dataclass(frozen=True, kw_only=True)
class Repair:
    """One part put right or replaced."""

    part: str = text("part key")
    old: str = text("serial taken off", default="")
    new: str = text("serial put on", default="")
    crash: int = count("number of the crash; 0: none", low=0, default=0)
    seconds: float = quantity("time it took", "s", "min", low=0.0, high=360000.0, default=0.0)
    note: str = text("what was done", default="")


@dataclass(frozen=True, kw_only=True)
class Print:
    """One print, good or failed."""

    part: str = text("part key")
    copies: int = count("copies on the bed", low=1, high=999, default=1)
    seconds: float = quantity("time it took, warm-up left out", "s", "h", low=0.0, high=2e6)
    mass: float = quantity("of all copies with support, 0 where not weighed", "kg", "g", low=0.0,
                           high=20.0, default=0.0)  # fmt: skip
    material: str = text("material key", default="")
    spool: str = text("name of the spool", default="")
    settings: str = text("settings that differ from the brief", default="")
    failure: str = text("why it failed; empty where it is good", default="")
    serials: tuple[str, ...] = anything("serials of the copies", default=())
    revision: str = text("interface revision printed, from the build's repair.json", default="")


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """One printed part put on the aircraft."""

    serial: str = text("serial of the copy")
    part: str = text("part key")
    place: str = text("where it sits, such as arm 3", default="")
    revision: str = text("interface revision", default="")
    before: float = quantity("time it had flown before", "s", "h", low=0.0, high=1e8,
                                   default=0.0)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Removed:
    """One printed part taken off."""

    serial: str = text("serial of the copy")
    why: str = text("broken, worn, or taken off sound", choices=("crash", "wear", "sound"))
    note: str = text("anything worth saying", default="")


@dataclass(frozen=True, kw_only=True)
class Inspected:
    """One look at one part."""

    serial: str = text("serial of the copy")
    finding: str = text("what was seen; empty where it is sound", default="")


@dataclass(frozen=True, kw_only=True)
class Struck:
    """An entry that was wrong, struck out."""

    number: int = count("number of the entry", low=1)
    why: str = text("what was wrong with it")


Entry = Flight | Crash | Damage | Repair | Print | Fitted | Removed | Inspected | Struck
KINDS: dict[str, type[Entry]] = {
    "flight": Flight,
    "crash": Crash,
    "damage": Damage,
    "repair": Repair,
    "print": Print,
    "fitted": Fitted,
    "removed": Removed,
    "inspected": Inspected,
    "struck": Struck,
}


@dataclass(frozen=True)
class Logged:
    """One entry as it stands in the log."""

    number: int
    date: str
    saved: str
    kind: str
    entry: Entry


@dataclass(frozen=True)
class PartLife:
    """What one printed part has been through."""

    serial: str
    part: str
    place: str
    revision: str
    fitted: str
    """Date."""
    removed: str
    """Date, or empty while it flies."""
    why: str
    """crash, wear or sound; empty while it flies."""
    seconds: float
    """Time flown, s, with what it had flown before."""
    flights: int
    crashes: int
    inspected: float
    """s flown at the last inspection; 0 where none."""
