"""Turn orders as words: "cw" and "ccw" for each rotor in turn, seen from above."""

from refledge.errors import FlightError

_WORDS = {"ccw": 1, "cw": -1}
_NAMES = {turn: word for word, turn in _WORDS.items()}
_BETWEEN = " turns "


def parse_turns(order: str, rotors: int) -> tuple[int, ...]:
    """+1 counter-clockwise and -1 clockwise for each of ``rotors``; () where ``order`` is ""."""
    words = order.split()
    if not words:
        return ()
    if len(words) != rotors or set(words) - set(_WORDS):
        raise FlightError(
            f"layout.turn_order {order!r} does not fit {rotors} rotors: "
            'name "cw" or "ccw" for each of them'
        )
    return tuple(_WORDS[word] for word in words)


def turns_text(spin: tuple[int, ...]) -> str:
    """Such as ``ccw cw ccw cw``."""
    return " ".join(_NAMES[turn] for turn in spin)


def split_kind(kind: str) -> tuple[str, str]:
    """Layout kind and turn order, "" where none is named, of such as ``four-x turns cw ...``."""
    name, _, order = kind.partition(_BETWEEN)
    return name, order


def joined_kind(name: str, order: str) -> str:
    """The inverse of ``split_kind``."""
    return f"{name}{_BETWEEN}{order}" if order else name
