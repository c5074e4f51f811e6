"""Plain words for the keys by which sizing knows its limits."""

TITLES = {
    "motor-tilt": "motor tilt at full thrust",
    "hover-tilt": "motor tilt after hovering the whole flight",
    "tip-deflection": "tip deflection at full thrust",
    "first-mode": "lowest mode above the control bandwidth",
    "separation": "modes away from what the rotors excite",
    "strength": "strength in the plane of the layers",
    "layers": "shear on the layer boundary",
    "buckling": "local buckling of walls and diagonals",
    "weak-link": "the weak link breaks first",
}
WHEN = {"flight": "in flight", "rough": "in landing or handling"}
WHERE = {"plates": "centre plates", "leg": "legs", "tray": "battery tray", "tube": "tubes"}
MOTIONS = {"vertical": "arms up and down", "lateral": "arms sideways", "twist": "arms twisting"}


def title_of(key: str) -> str:
    """Words for a key such as ``layers-rough-plates``; other texts come back as they are."""
    if key in TITLES:
        return TITLES[key]
    first, *rest = key.split("-")
    if first not in TITLES or not set(rest) <= {*WHEN, *WHERE, *MOTIONS}:
        return key
    words = [TITLES[first]]
    words += [WHEN[each] for each in rest if each in WHEN]
    where = [{**WHERE, **MOTIONS}[each] for each in rest if each not in WHEN]
    return " ".join(words) + (f" ({', '.join(where)})" if where else "")
