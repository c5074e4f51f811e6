"""What breaks first, in words, as JSON, and as one page."""

import json
from collections.abc import Iterator
from pathlib import Path

from markupsafe import Markup

from refledge.model.checks import Check
from refledge.model.copies import kind_of
from refledge.outputs.crash_charts import first_chart, plates_chart, stock_chart
from refledge.outputs.pages import style, template
from refledge.outputs.pose import on_bed
from refledge.outputs.print_plan import fitted_words
from refledge.outputs.printed import print_mesh
from refledge.outputs.record import plain
from refledge.outputs.threemf import Placed, plate_bytes
from refledge.outputs.words import CAUTIONS, material_name
from refledge.repair.breaking import Breaks
from refledge.repair.sparing import SPEEDS, Sparing
from refledge.repair.toll import tolls
from refledge.repair.weak_link import TITLES, WeakLink
from refledge.study import Study
from refledge.units import figure, show
from refledge.whole import write_whole

SCHEMA = "refledge crash 1"


def kinds(found: Breaks) -> list[str]:
    """Kinds of part, in order."""
    return list(dict.fromkeys(kind_of(part) for part in found.parts))


def crash_lines(found: Breaks) -> Iterator[str]:
    """For a person at a terminal."""
    yield (
        f"{found.asked.samples} crashes of each kind, at {found.asked.speed:g} m/s and about; "
        "first to break:"
    )
    for each, hit, share in zip(found.found, found.blows, found.shares, strict=True):
        ranked = sorted(kinds(found), key=lambda kind: -each.first_of(kind))
        words = [f"{kind} {each.first_of(kind):.0%}" for kind in ranked if each.first_of(kind)]
        words += [f"nothing {each.nothing:.0%}"] if each.nothing else []
        yield f"  {each.case.title} ({share:.0%} of crashes): {', '.join(words)}"
        yield (
            f"      by energy alone {show(hit.force, 'N', 'N')} on {', '.join(hit.points)}; "
            f"{weakest(found, each.case.key)}"
        )
    if found.link is not None:
        yield ""
        yield from link_lines(found)
        yield from (f"  {each}" for each in sparing_lines(found.link))
    yield ""
    yield from stock_lines(found)


def weakest(found: Breaks, key: str) -> str:
    """The part that a case would break at the least speed, by energy."""
    hit = next(each for each in found.blows if each.case.key == key)
    part = min(hit.uses, key=hit.breaking_speed)
    return f"{part} would go from {show(hit.breaking_speed(part), 'm/s', 'm/s', 2)}"


def link_lines(found: Breaks) -> Iterator[str]:
    """What came of the weak link."""
    link = found.link
    assert link is not None  # asked for by the caller
    best, first = link.best, link.tries[0]
    yield f"weak link, {TITLES[link.key]}:"
    yield from (f"  {_sized_words(check)}" for check in found.sized)
    if not first.flies:
        yield "  as sized it does not bear flight and landing with their factors: size that first"
        return
    yield (
        f"  at {best.scale:.0%} of its strength {best.spared:.0%} of crashes spare plates, mounts, "
        f"tray and electronics; as sized {first.spared:.0%}"
    )
    yield (
        f"  reserve of the link: {reserve(best.flight_margin)} in flight, "
        f"{reserve(best.landing_margin)} "
        "in landing and handling, factors included"
    )
    yield f"  it goes first in {best.link_first:.0%} of crashes; {link.size}"
    if best.spared < 0.5:
        yield "  it cannot spare them in most crashes: a weaker one would not bear landings"


def sparing_lines(link: WeakLink) -> Iterator[str]:
    """Up to which speed the link spares the plates, for a person at a terminal."""
    if not link.sparing:
        return
    yield "the plates stay whole, at nominal strength (in brackets were the link unbreakable):"
    for each in link.sparing:
        yield f"  {each.title}: {up_to(each.speed)} ({up_to(each.without)}){beyond(each)}"
    raised = [each.title for each in link.sparing if each.speed > each.without]
    yield f"  so the link spares them by going {', '.join(raised) or 'nowhere'}"


def beyond(each: Sparing) -> str:
    """What breaks the plates beyond the speed that they stand, in words."""
    if not each.landed_on:
        return ""
    gone = ", the link gone," if each.link_first else ""
    return (
        f"; then it lands{gone} on {', '.join(each.landed_on)} with {each.left:.0%} of its energy"
    )


def up_to(speed: float) -> str:
    """A speed that plates stand, in words."""
    if speed >= SPEEDS[-1]:
        return f"beyond {show(float(SPEEDS[-1]), 'm/s', 'm/s', 2)}"
    return f"up to {show(speed, 'm/s', 'm/s', 3)}" if speed else "at no speed tried"


def _sized_words(check: Check) -> str:
    """One margin of the link that the brief chose, on the beam model."""
    if check.key == "weak-link-first":
        what = (
            f"the brief's link ({check.part}) goes at {figure(check.demand)} times the use of what "
            f"is nearest, {figure(check.capacity)} wanted"
        )
    else:
        what = f"{check.title.replace('the weak link', 'it')}: reserve {reserve(check.margin)}"
    note = f" ({check.note})" if check.note else ""
    return f"{what}: {check.verdict}{note}"


def reserve(margin: float) -> str:
    """A reserve in percent; tenfold and more says no more."""
    return "over 1000 %" if margin > 10 else f"{100 * margin:+.0f} %".replace("-", "−")


def stock_lines(found: Breaks) -> Iterator[str]:
    """What to keep."""
    step = found.stock[-1]
    names = {part.key: part.name for part in found.record.parts}
    kept = [f"{count} x {names[key]}" for key, count in step.stock if count]
    yield (
        f"spares for {show(found.asked.flying, 's', 'h')} of flying, one crash in "
        f"{1 / found.rate.mean / 3600:.1f} h: {', '.join(kept) or 'none'}"
    )
    yield (
        f"  nothing missing with {step.service:.0%} (none kept: {found.stock[0].service:.0%}); "
        f"{show(step.mass, 'kg', 'g')}, {show(step.seconds, 's', 'h', 2)} of printing, "
        f"about {step.cost:.2f}, on {len(found.plates)} plates"
    )
    if found.locks:
        yield (
            f"  and {found.locks} lock bolts in the bag, with nuts and washers: enough with "
            f"{found.asked.service:.0%}"
        )
    yield f"  {fitted_words(found.record.prints)}"
    if step.service < found.asked.service:
        yield "  more spares of the same kind do not help further"


def crash_json(study: Study, found: Breaks) -> str:
    """Every figure, SI."""
    document = {
        "schema": SCHEMA,
        "title": study.brief.title,
        "version": study.version,
        "asked": found.asked,
        "crashes_per_s": found.rate.mean,
        "cases": [
            {
                "key": each.case.key, "title": each.case.title, "reason": each.case.reason,
                "share": share, "samples": each.samples, "nothing": each.nothing,
                "spared": each.spared,
                "breaks": dict(zip(each.parts, each.breaks, strict=True)),
                "first": dict(zip(each.parts, each.first, strict=True)),
                "copies": each.copies,
                "energy_method": {
                    "touches": hit.points, "mass_kg": hit.mass, "stiffness_N_per_m": hit.stiffness,
                    "force_N": hit.force, "uses": hit.uses, "where": hit.where,
                },
            }
            for each, hit, share in zip(found.found, found.blows, found.shares, strict=True)
        ],
        "tolls": tolls(found),
        "weak_link": found.link,
        "lock_bolts": found.locks,
        "weak_link_sized": list(found.sized),
        "spares": list(found.stock),
        "plates": list(found.plates),
    }  # fmt: skip
    return json.dumps(plain(document), indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def crash_html(study: Study, found: Breaks) -> str:
    """One page that needs nothing else."""
    page = template("crash.html", show=show, figure=figure, zip=zip, percent=_percent)
    return page.render(
        study=study,
        brief=study.brief,
        found=found,
        kinds=kinds(found),
        names={part.key: part for part in found.record.parts},
        chart=Markup(first_chart(found)),
        stock=Markup(stock_chart(found)),
        plates=[Markup(text) for text in plates_chart(study, found)],
        link=list(link_lines(found)) if found.link else [],
        spares=list(stock_lines(found)),
        weakest=weakest,
        up_to=up_to,
        reserve=reserve,
        style=style(),
        caution=CAUTIONS[-1][1],
    )


def write_crash(study: Study, found: Breaks, out: Path) -> tuple[Path, ...]:
    """crash.html, crash.json and a 3MF for each plate of spares, in ``out``."""
    plates = (_plate(study, found, number) for number in range(len(found.plates)))
    return (
        write_whole(out / "crash.html", crash_html(study, found)),
        write_whole(out / "crash.json", crash_json(study, found)),
        *(write_whole(out / f"spares-{n}.3mf", data) for n, data in enumerate(plates, 1)),
    )


def _plate(study: Study, found: Breaks, number: int) -> bytes:
    plate, specs = found.plates[number], {spec.key: spec for spec in study.parts}
    placed = [
        Placed(specs[each.piece.key], each.piece.copy, each.x, each.y, each.turned)
        for each in plate.laid
    ]
    meshes = {each.spec.key: on_bed(each.spec, print_mesh(study, each.spec)) for each in placed}
    title = f"Spares, plate {number + 1} of {len(found.plates)}"
    return plate_bytes(placed, meshes, material_name(study, plate.material), title, study.version)


def _percent(share: float) -> str:
    if share == 0.0:
        return "–"
    return "< 1 %" if share < 0.005 else f"{100 * share:.0f} %"
