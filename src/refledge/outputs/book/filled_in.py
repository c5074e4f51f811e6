"""What the words of the steps leave open, for one airframe; empty where it has no use for it."""

from refledge.model.decked import on_deck
from refledge.outputs.words import capital
from refledge.study import Study
from refledge.units import show

NUMBERS = "(arms are numbered in the chapter on motor numbers)"


def filled_in(study: Study) -> dict[str, str]:
    """Name in a step's words to what stands there."""
    arms = {f"{each.key}_arm": f"arm {each.arm + 1}" for each in on_deck(study.frame)}
    unused = dict.fromkeys(("mast_arm", "receiver_holder_arm", "antenna_holder_arm"), "")
    return (
        unused
        | arms
        | {
            "nozzle": _nozzle(study),
            "carrier": _carrier(study),
            "nut_torque": _nut_torque(study),
            "coax": _coax(study),
            "decked": _decked(study),
            "payload": _payload(study),
            "webbing": _webbing(study),
            "controllers": _controllers(study),
            "controller_ties": _controller_ties(study),
            "weak_line": _weak_line(study),
        }
    )


def _decked(study: Study) -> str:
    """Bolts that wait for what stands on the upper plate."""
    waiting = [
        f"{'all four' if each.bolts == 4 else 'the two inner ones'} of arm {each.arm + 1} "
        f"({each.words})"
        for each in on_deck(study.frame)
    ]
    if not waiting:
        return ""
    return f"Leave these bolts out until the next steps: {'; '.join(waiting)} {NUMBERS}."


def _payload(study: Study) -> str:
    """What holds the payload where the frame has no rails for it."""
    if study.frame.rail is not None:
        return ""
    if study.frame.tray.line:
        return (
            "Bring both ends of the webbing down beside the battery and sew or tie them to one "
            "ring, as far under the battery as it is wide: webbing must not press on its edges. "
            "The payload's line hangs from the ring."
        )
    does = "hangs" if study.brief.payload.slung else "is held"
    name = capital(study.brief.payload.name)
    return f"{name}: {does} by what it comes with; no part of the frame is made to hold it."


def _controllers(study: Study) -> str:
    """Where the speed controllers go: only whole plates are a floor between the arms."""
    if study.frame.plate.style == "full":
        return (
            "Stick the speed controllers onto the lower plate between the arms with foam tape, one "
            "for each motor, and lead their wires out now: the upper plate covers them."
        )
    return (
        "Stick a speed controller on edge to the side of each arm's root with foam tape, as far "
        "out as the plates reach, for pairs one to either side: between the arms the plates have "
        "no floor. Lead its wires out now."
    )


def _controller_ties(study: Study) -> str:
    if study.frame.plate.style == "full":
        return ""
    return (
        "Put a cable tie round both plates, arm and speed controller, between the bolts' heads: "
        "tape alone lets go in the heat."
    )


def _webbing(study: Study) -> str:
    """How the webbing of a payload's line goes round the tray; "" without one."""
    wide = study.frame.tray.line
    if not wide:
        return ""
    return (
        f"Thread the webbing of the payload's line too, {show(wide, 'm', 'mm', 2)} wide: up "
        "through one of the two slots in the middle, over the tray, down through the other."
    )


def _weak_line(study: Study) -> str:
    """The line's weak link, by what the payload pulls at full thrust; "" without a line."""
    pulls = {case.key: case.slung_force for case in study.loads}
    if not study.frame.tray.line or "caught" not in pulls:
        return ""
    parts = min(2.0 * pulls["full-thrust"], pulls["caught"])
    return (
        f"Between ring and line put a weak link, a thread tried on a spring balance, that parts at "
        f"about {show(parts, 'N', 'N', 2)}: a line that is caught pulls by up to "
        f"{show(pulls['caught'], 'N', 'N', 2)} and holds the aircraft down."
    )


def _carrier(study: Study) -> str:
    """How the payload is fastened to its carrier."""
    rail = study.frame.rail
    if rail is None or rail.strap_width == 0.0:
        return (
            "Lead the payload's line up through one hole of the carrier, over the bridge between "
            "the two and down through the other, and tie it below with a knot that cannot slip. "
            "Print a second carrier for each further payload."
        )
    return (
        "Strap the payload under its carrier, straps through the slots, with a non-slip pad "
        "between. Print a second carrier for each further payload."
    )


def _nut_torque(study: Study) -> str:
    """What the slots of the seat's nuts bear, in words; "" where inserts hold."""
    held = [each.capacity for each in study.checks if each.key == "nut-turning"]
    return show(held[0], "N*m", "N*m", 2).replace("*", " ") if held else ""


def _coax(study: Study) -> str:
    """Least inside bend radius of the antennas' leads, in words; "" without their holder."""
    held = [each.capacity for each in study.checks if each.key == "antenna-bend"]
    return show(held[0], "m", "mm") if held else ""


def _nozzle(study: Study) -> str:
    keys = [s.material for s in study.parts if s.key == "seat" and s.material in study.cards]
    if not keys:
        return "see its spool"
    card = study.cards[keys[0]]
    return f"{show(card.nozzle_temperature, 'K', 'degC')} for {card.name}"
