"""What breaks first, for the page: the same figures as ``refledge crash`` gives."""

from typing import Any

from refledge.airframe.blows.energy import Blow
from refledge.interfaces.web.wording import json_ready
from refledge.model.copies import kind_of
from refledge.outputs.crash_files import kinds, link_lines, sparing_lines, stock_lines
from refledge.repair.breaking import Breaks
from refledge.repair.sampling import PROTECTED
from refledge.repair.toll import Toll, tolls, tolls_of
from refledge.repair.weak_link import TITLES, LinkTry


def crash_doc(found: Breaks) -> dict[str, Any]:
    """The result of a job ``crash``."""
    every = tolls(found)
    return {
        "asked": json_ready(found.asked),
        "kinds": kinds(found),
        "protected": list(PROTECTED),
        "tolls": [json_ready(each) for each in every],
        "repair": _repair(every),
        "cases": [_case(found, number) for number in range(len(found.found))],
        "link": _link(found),
        "spares": _spares(found),
        "hours_per_crash": 1.0 / found.rate.mean / 3600.0,
    }


def _repair(every: tuple[Toll, ...]) -> dict[str, float]:
    """What one crash costs on average."""
    return {"seconds": sum(t.seconds for t in every), "cost": sum(t.cost for t in every)}


def _case(found: Breaks, number: int) -> dict[str, Any]:
    chances, hit = found.found[number], found.blows[number]
    every = tolls_of(found, number)
    return {
        "key": chances.case.key,
        "title": chances.case.title,
        "reason": chances.case.reason,
        "share": found.shares[number],
        "samples": chances.samples,
        "nothing": chances.nothing,
        "spared": chances.spared,
        "tolls": [json_ready(each) for each in every],
        "repair": _repair(every),
        "energy": {"force": hit.force, "points": list(hit.points), "order": _order(hit)},
    }


def _order(hit: Blow) -> list[dict[str, Any]]:
    """Kinds of part by the speed at which the energy method has the first of them break."""
    least: dict[str, float] = {}
    for part in hit.uses:
        kind, speed = kind_of(part), hit.breaking_speed(part)
        least[kind] = min(speed, least.get(kind, float("inf")))
    ranked = sorted(least.items(), key=lambda each: each[1])
    return [{"kind": kind, "speed": json_ready(speed)} for kind, speed in ranked]


def _link(found: Breaks) -> dict[str, Any] | None:
    link = found.link
    if link is None:
        return None
    return {
        "key": link.key,
        "title": TITLES[link.key],
        "chosen": link.chosen,
        "size": link.size,
        "words": [line.strip() for line in (*link_lines(found), *sparing_lines(link))],
        "tries": [_try(each) for each in link.tries],
    }


def _try(each: LinkTry) -> dict[str, Any]:
    return {
        "scale": each.scale,
        "spared": each.spared,
        "link_first": each.link_first,
        "flight_margin": json_ready(each.flight_margin),
        "landing_margin": json_ready(each.landing_margin),
        "flies": each.flies,
    }


def _spares(found: Breaks) -> dict[str, Any]:
    """What to keep, part by part."""
    last = found.stock[-1]
    rows = []
    for key, count in last.stock:
        part = found.record.part(key)
        if count and part is not None:
            rows.append({"key": key, "name": part.name, "count": count, "kg": part.mass,
                         "seconds": part.seconds, "cost": part.cost})  # fmt: skip
    return {
        "words": [line.strip() for line in stock_lines(found)],
        "service": last.service,
        "wanted": found.asked.service,
        "kg": last.mass,
        "seconds": last.seconds,
        "cost": last.cost,
        "plates": len(found.plates),
        "rows": rows,
    }
