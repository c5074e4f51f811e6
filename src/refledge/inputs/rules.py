"""Rules beyond unit and bounds: names that must be known, fields that must fit one another."""

import re
from collections.abc import Callable, Iterable, Mapping
from difflib import get_close_matches
from typing import Any

from refledge.inputs.cards import material_cards
from refledge.inputs.describe import listed
from refledge.inputs.holes import common_patterns
from refledge.inputs.values import FieldError, as_given
from refledge.model.holes import motor_holes, square_holes

ROTORS = {
    "four-x": 4, "four-plus": 4, "six-x": 6, "six-plus": 6, "eight-x": 8, "eight-plus": 8,
    "three-pairs": 6, "four-pairs": 8,
}  # fmt: skip
_ITEM = re.compile(r"others\[\d+\]\.name$")
LEAST_ARMS = 3  # fewer cannot hold roll and pitch by thrust alone


def check_field(field: str, value: Any) -> None:
    """Raise FieldError where the ``value`` of a field (dotted path) names nothing known."""
    rule = _FIELD_RULES.get(field)
    if rule:
        rule(value)


def keys_of(kind: str) -> tuple[str, ...]:
    """Keys of the materials of one kind: printed, moulded, tube."""
    return tuple(key for key, card in material_cards().items() if card.kind == kind)


def nearest(name: str, known: Iterable[str]) -> str:
    """The known name that is most like ``name``, or ""; capitals do not matter."""
    folded = {each.casefold(): each for each in known}
    found = get_close_matches(name.casefold(), folded, n=1, cutoff=0.6)
    return folded[found[0]] if found else ""


def _printed_material(key: str) -> None:
    known = keys_of("printed")
    if key not in known:
        hint = nearest(key, known)
        step = f'did you mean "{hint}"?' if hint else "choose one of these"
        raise FieldError(as_given(key), listed(known), step)


def _frame_material(key: str) -> None:
    if key != "choose":
        _printed_material(key)


def _tube(key: str) -> None:
    known = keys_of("tube")
    if key not in known:
        hint = nearest(key, known)
        step = f'did you mean "{hint}"?' if hint else "choose one of these"
        raise FieldError(as_given(key), listed(known), step)


def _filaments(keys: tuple[str, ...]) -> None:
    if not keys:
        raise FieldError("an empty list", listed(keys_of("printed")), "name at least one spool")
    for key in keys:
        _printed_material(key)
    if len(set(keys)) != len(keys):
        raise FieldError(as_given(list(keys)), "each material once", "strike out the repetition")


def _spools(given: tuple[str, ...]) -> None:
    """Each ``KEY: NAME``, a material once."""
    keys = []
    for each in given:
        key, colon, name = (part.strip() for part in each.partition(":"))
        if not (colon and name):
            step = "write the material's key, a colon, the spool's name"
            raise FieldError(as_given(each), 'such as "PETG: grey 3"', step)
        _printed_material(key)
        keys.append(key)
    if len(set(keys)) != len(keys):
        raise FieldError(
            as_given(list(given)), "one spool of each material", "strike out the others"
        )


def _holes(parse: Callable[[str], Any], kind: str) -> Callable[[str], None]:
    def rule(text: str) -> None:
        try:
            parse(text)
        except ValueError as error:
            common = listed(common_patterns(kind))
            raise FieldError(as_given(text), f"such as {common}", f"{error}: measure it") from error

    return rule


_FIELD_RULES: Mapping[str, Callable[[Any], None]] = {
    "motor.holes": _holes(motor_holes, "motor"),
    "flight_controller.holes": _holes(square_holes, "controller"),
    "printer.filaments": _filaments,
    "printer.spools": _spools,
    "frame.material": _frame_material,
    "frame.tube": _tube,
}


def check_together(found: Mapping[str, Any]) -> Iterable[tuple[str, FieldError]]:
    """Fields that contradict one another: (dotted path, fault).

    ``found`` holds the good values by dotted path; a rule that lacks one of its values is skipped,
    as that value has been reported already.
    """
    for field, needs, rule in _TOGETHER:
        if all(need in found for need in needs):
            fault = rule(*(found[need] for need in needs))
            if fault:
                yield field, fault
    for field, rule in (("frame.mast", _mast), ("frame.receiver_holder", _receiver_holder),
                        ("frame.antenna_holder", _antenna_holder)):  # fmt: skip
        fault = rule(found)
        if fault:
            yield field, fault


def _mast(found: Mapping[str, Any]) -> FieldError | None:
    """The mast carries one of the others, and that stands above the upper plate."""
    wanted = found.get("frame.mast")
    unknown, items = _named(found, wanted)
    if unknown or not items:
        return unknown
    height = found.get(f"{items[0]}.z", 1.0)  # a faulty height has been told already
    if height is None or height <= 0.0:
        given = f"{as_given(wanted)}, which is not above the upper plate"
        return FieldError(given, "an item with a height z above zero", f"give it: {items[0]}.z")
    return None


def _receiver_holder(found: Mapping[str, Any]) -> FieldError | None:
    """It holds one of the others, and no other than the mast does."""
    wanted = found.get("frame.receiver_holder")
    unknown, items = _named(found, wanted)
    if unknown or not items:
        return unknown
    if wanted == found.get("frame.mast"):
        given = f"{as_given(wanted)}, which the mast carries"
        return FieldError(given, "an item that stands on no mast", "strike out one of the two")
    return None


def _antenna_holder(found: Mapping[str, Any]) -> FieldError | None:
    """Its antennas belong to one of the others."""
    return _named(found, found.get("frame.antenna_holder"))[0]


def _named(found: Mapping[str, Any], wanted: str | None) -> tuple[FieldError | None, list[str]]:
    """The fault where ``wanted`` names none of the others, and the paths of those it names."""
    if not wanted:
        return None, []
    named = {key.removesuffix(".name"): name for key, name in found.items() if _ITEM.match(key)}
    items = [item for item, name in named.items() if name == wanted]
    if items:
        return None, items
    hint = nearest(wanted, named.values())
    step = f'did you mean "{hint}"?' if hint else "name one of them, or strike it out"
    known = listed(named.values()) if named else "one of [[others]]; there is none"
    return FieldError(as_given(wanted), known, step), []


def _bed(length: float, width: float) -> FieldError | None:
    if width <= length:
        return None
    given = f"a bed {width * 1e3:g} mm wide and {length * 1e3:g} mm long"
    return FieldError(given, "bed_length is the longer side", "exchange the two")


def _layer(layer: float, nozzle: float) -> FieldError | None:
    if layer < nozzle:
        return None
    given = f"a layer of {layer * 1e3:g} mm from a nozzle of {nozzle * 1e3:g} mm"
    return FieldError(given, "a layer thinner than the nozzle's bore", "correct one of the two")


def _payload(payload: float, limit: float) -> FieldError | None:
    if payload < limit:
        return None
    given = f"a payload of {payload:g} kg and an all-up limit of {limit:g} kg"
    return FieldError(given, "a payload lighter than the whole aircraft", "correct one of the two")


def _angles_given(kind: str, angles: tuple[float, ...]) -> FieldError | None:
    if kind == "free" and len(angles) < LEAST_ARMS:
        given = f"{len(angles)} arm angles for a free layout"
        return FieldError(given, f"at least {LEAST_ARMS}", 'list them: ["30 deg", "-30 deg", ...]')
    if kind != "free" and angles:
        given = f"arm angles with layout kind {as_given(kind)}"
        return FieldError(
            given, 'arm angles only with kind = "free"', 'strike them out, or set "free"'
        )
    return None


def _pairs_given(kind: str, pairs: bool) -> FieldError | None:
    if kind == "free" or not pairs:
        return None
    given = f"pairs = true with layout kind {as_given(kind)}"
    return FieldError(
        given,
        'pairs only with kind = "free"',
        'strike it out, or choose "three-pairs" or "four-pairs"',
    )


def _turns(kind: str, angles: tuple[float, ...], pairs: bool, order: str) -> FieldError | None:
    if not order:
        return None
    words = order.split()
    if set(words) - {"cw", "ccw"}:
        return FieldError(as_given(order), 'only "cw" and "ccw"', "name one for each rotor")
    if kind == "choose":
        given = 'a turn order with layout kind "choose"'
        return FieldError(given, "a turn order for one kind", "name the kind, or strike it out")
    wanted = len(angles) * (2 if pairs else 1) if kind == "free" else ROTORS[kind]
    if len(words) != wanted:
        return FieldError(f"{len(words)} turns", f"{wanted}", "name one for each rotor")
    return None


def _folding(root: str, family: str) -> FieldError | None:
    if root != "folding" or family != "tube":
        return None
    given = 'folding arms of the family "tube"'
    allowed = "box, channel, truss, or choose: a tube is squeezed in half blocks and cannot turn"
    return FieldError(given, allowed, "choose another arm_family, or clamped arms")


def _folding_deck(field: str) -> Callable[[str, str], FieldError | None]:
    """Mast and holders stand under the heads of an arm's clamp bolts."""

    def rule(root: str, item: str) -> FieldError | None:
        if root != "folding" or not item:
            return None
        what = field.replace("_", " ")
        given = f"folding arms and a {what} for {as_given(item)}"
        allowed = f"one of the two: clamp bolts hold the {what}, and a folding arm's come out"
        return FieldError(given, allowed, f"strike out frame.{field}, or choose clamped arms")

    return rule


def _shear_bolt(root: str, link: str) -> FieldError | None:
    if link != "bolt" or root == "folding":
        return None
    given = 'the weak link "bolt" with clamped arms'
    allowed = (
        "the lock bolt of folding arms: in a clamp plastic bolts would halve the stiffness of the "
        "arms' roots"
    )
    return FieldError(given, allowed, 'set frame.arm_root = "folding", or choose arm or leg')


def _family(family: str, grown: str) -> FieldError | None:
    if family == "choose" or not grown:
        return None
    given = f"arm family {as_given(family)} and a grown arm"
    return FieldError(given, "one of the two", "strike out frame.arm_family or frame.grown_arm")


def _folding_grown(root: str, grown: str) -> FieldError | None:
    if root != "folding" or not grown:
        return None
    given = "folding arms and a grown arm"
    allowed = "one of the two: arms are grown between clamps, and solved held there"
    return FieldError(given, allowed, "strike out frame.grown_arm, or choose clamped arms")


_Rule = tuple[str, tuple[str, ...], Callable[..., FieldError | None]]
_TOGETHER: tuple[_Rule, ...] = (
    ("printer.bed_width", ("printer.bed_length", "printer.bed_width"), _bed),
    ("printer.layer", ("printer.layer", "printer.nozzle"), _layer),
    ("payload.mass", ("payload.mass", "mission.all_up_limit"), _payload),
    ("frame.arm_root", ("frame.arm_root", "frame.arm_family"), _folding),
    *(
        ("frame.arm_root", ("frame.arm_root", f"frame.{field}"), _folding_deck(field))
        for field in ("mast", "receiver_holder", "antenna_holder")
    ),
    ("frame.weak_link", ("frame.arm_root", "frame.weak_link"), _shear_bolt),
    ("layout.arm_angles", ("layout.kind", "layout.arm_angles"), _angles_given),
    ("layout.pairs", ("layout.kind", "layout.pairs"), _pairs_given),
    ("frame.arm_family", ("frame.arm_family", "frame.grown_arm"), _family),
    ("frame.arm_root", ("frame.arm_root", "frame.grown_arm"), _folding_grown),
    (
        "layout.turn_order",
        ("layout.kind", "layout.arm_angles", "layout.pairs", "layout.turn_order"),
        _turns,
    ),
)
