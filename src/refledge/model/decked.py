"""What stands on the upper plate under the heads of clamp bolts, whichever part it is."""

from dataclasses import dataclass

from refledge.model.parts import FrameDesign


@dataclass(frozen=True)
class OnDeck:
    """One part under the heads of an arm's clamp bolts."""

    key: str
    words: str
    arm: int
    flange: float
    """Thickness under the bolts' heads, m."""
    bolts: int = 2
    """4, or 2: the inner pair, so that a leg may hang from the outer."""


def on_deck(frame: FrameDesign) -> tuple[OnDeck, ...]:
    """Those that the frame has."""
    known = (
        ("mast", "mast", frame.mast, 4),
        ("receiver_holder", "receiver holder", frame.receiver_holder, 2),
        ("antenna_holder", "antenna holder", frame.antenna_holder, 2),
    )
    return tuple(
        OnDeck(key, words, each.arm, each.flange_thickness, bolts)
        for key, words, each, bolts in known
        if each
    )
