"""What the pack feeds beside the motors: electronics and payload, as the brief states it."""

from refledge.model.brief import Brief, Payload
from refledge.model.items import FlightController, Placed
from refledge.units import show


def other_power(brief: Brief) -> float:
    """W at the plug, constant over the flight; what is not stated counts as none."""
    return sum(watts for _, watts in _stated(brief) if watts is not None)


def other_power_words(brief: Brief) -> str:
    """What of it counts in the endurance figures, and what does not."""
    known = [(name, watts) for name, watts in _stated(brief) if watts is not None]
    unknown = [name for name, watts in _stated(brief) if watts is None]
    if not known:
        return "Electronics and payload draw no power in the endurance figure."
    told = ", ".join(f"{name} {show(watts, 'W', 'W')}" for name, watts in known)
    lacking = f" Not stated, so left out: {', '.join(unknown)}." if unknown else ""
    return f"Beside the motors {show(other_power(brief), 'W', 'W')} are drawn: {told}.{lacking}"


def _stated(brief: Brief) -> tuple[tuple[str, float | None], ...]:
    items: tuple[FlightController | Payload | Placed, ...] = (
        brief.flight_controller,
        brief.payload,
        *brief.others,
    )
    return tuple((item.name, item.drawn_power) for item in items)
