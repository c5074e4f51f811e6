"""Plain words for the keys by which sizing knows its limits, and which check each stands for."""

from collections.abc import Iterable

from refledge.model.checks import Check
from refledge.model.loads import LoadCase

TITLES = {
    "motor-tilt": "motor tilt at full thrust",
    "hover-tilt": "motor tilt after hovering the whole flight",
    "tip-deflection": "tip deflection at full thrust",
    "first-mode": "lowest mode above the control bandwidth",
    "separation": "modes away from what the rotors excite",
    "strength": "strength in the plane of the layers",
    "layers": "shear on the layer boundary",
    "buckling": "local buckling of walls and diagonals",
    "tipping": "lateral-torsional buckling of arms",
    "weak-link": "the weak link breaks first",
    "leg-flange": "bending of the legs' flanges",
    "hinge-washer": "pressure under the hinges' washers",
    "clamp-washer": "pressure under the clamp bolts' washers",
    "lap-washer": "pressure under the lap bolts' washers",
    "clamp-preload": "preload left after creep under the washers",
    "payload-line": "bending of the tray by the payload's line",
    "payload-line-bosses": "pull of the payload's line on the bosses",
    "creep-hover": "sustained stress in hover",
    "heat": "part temperature below softening",
}
WHEN = {"flight": "in flight", "rough": "in landing or handling"}
WHERE = {
    "plates": "centre plates", "leg": "legs", "tray": "battery tray", "skid": "skids",
    "rail": "payload rails", "tube": "tubes", "lock": "lock bolts",
}  # fmt: skip
MOTIONS = {"vertical": "arms up and down", "lateral": "arms sideways", "twist": "arms twisting"}


def title_of(key: str) -> str:
    """Words for a key such as ``layers-rough-plates``; other texts come back as they are."""
    if key in TITLES:
        return TITLES[key]
    if key.startswith("heat-"):  # the material follows
        return TITLES["heat"]
    first, *rest = key.split("-")
    if first not in TITLES or not set(rest) <= {*WHEN, *WHERE, *MOTIONS}:
        return key
    words = [TITLES[first]]
    words += [WHEN[each] for each in rest if each in WHEN]
    where = [{**WHERE, **MOTIONS}[each] for each in rest if each not in WHEN]
    return " ".join(words) + (f" ({', '.join(where)})" if where else "")


def titles_of(check: Check, loads: Iterable[LoadCase]) -> set[str]:
    """The words by which ``Driver.check`` would name a check of an airframe under ``loads``."""
    return {title_of(check.key), title_of(_use_key(check, loads))}


def _use_key(check: Check, loads: Iterable[LoadCase]) -> str:
    """The key by which sizing knows a check of strength, such as ``layers-rough-plates``."""
    kind, _, rest = check.key.partition("-")
    if kind == "fatigue":
        return "strength-flight" if rest == "arm" else f"strength-flight-{rest}"
    if kind not in ("strength", "layers"):
        return check.key
    case = next((each for each in loads if rest.startswith(f"{each.key}-")), None)
    if case is None:  # the tray, in its hardest landing
        return f"{kind}-rough-{rest}"
    part = rest.removeprefix(f"{case.key}-")
    when = "flight" if case.kind == "flight" else "rough"
    return f"{kind}-{when}" if part in ("arm", "tube") else f"{kind}-{when}-{part}"
