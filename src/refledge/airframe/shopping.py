"""What must be bought or inspected before the airframe can fly."""

from refledge.model.brief import Brief
from refledge.model.items import Condition, Item
from refledge.model.layout import Layout
from refledge.model.parts import FrameDesign
from refledge.model.results import Fastener, ShoppingLine


def shopping_list(
    brief: Brief, layout: Layout, frame: FrameDesign, fasteners: tuple[Fastener, ...]
) -> tuple[ShoppingLine, ...]:
    """Items against what is needed, then fasteners, tube and spools."""
    per_rotor = (brief.motor, brief.propeller, brief.speed_controller)
    lines = [_line(item, layout.n_rotors) for item in per_rotor]
    singles: tuple[Item, ...] = (
        brief.battery,
        brief.flight_controller,
        brief.payload,
        *brief.others,
    )
    lines += [_line(item, 1) for item in singles]
    lines += [
        ShoppingLine(line.name, line.quantity, 0, 0, line.quantity, f"fasteners: {line.where}")
        for line in fasteners
    ]
    if frame.arm.family == "tube":
        why = f"cut to {frame.arm.length * 1e3:.0f} mm each"
        lines.append(ShoppingLine(frame.arm.material, frame.n_arms, 0, 0, frame.n_arms, why))
    return tuple(lines)


def _line(item: Item, needed: int) -> ShoppingLine:
    condition = item.condition
    sound = min(condition.sound, needed)
    inspect = min(condition.suspect, needed - sound)
    buy = needed - sound - inspect
    return ShoppingLine(item.name, needed, sound, inspect, buy, _why(condition, inspect, buy))


def _why(condition: Condition, inspect: int, buy: int) -> str:
    reasons = []
    if inspect:
        reasons.append("inspect before use, or replace")
    if buy and condition.scrap:
        reasons.append(f"{condition.scrap} of yours scrapped")
    if buy and not condition.scrap:
        reasons.append("more are needed than you have")
    return "; ".join(reasons) or "on hand"
