"""Results of a study for the page: verdict, figures, checks, each with where it comes from."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from refledge.interfaces.web.wording import json_ready, shown, spread_words
from refledge.live.figures import Figure, key_figures, use_of
from refledge.model.checks import Check, Verdict
from refledge.model.results import Driver
from refledge.outputs.tables import tables
from refledge.outputs.words import capital, dimension, driven_by, having, headline, percent
from refledge.study import Study

SOLID_CHECKS = ("propeller-part-gap", "parts-overlap", "tool-access")
"""Keys of checks that come from the solids; those of the bed begin with ``bed-``."""
PART_KEYS: Mapping[str, tuple[str, ...]] = {
    "arms": ("arm", "arm_inner", "arm_outer", "tube"),
    "arm tubes": ("tube",),
    "arms and plates": ("arm", "arm_inner", "tube", "upper_plate", "lower_plate"),
    "centre plates": ("upper_plate", "lower_plate"),
    "plates": ("upper_plate", "lower_plate"),
    "clamp bolts in the plates": ("upper_plate", "lower_plate"),
    "clamp bolts": ("arm", "arm_inner", "upper_plate", "lower_plate"),
    "root blocks": ("arm", "arm_inner", "root_block"),
    "legs": ("leg", "leg_upper", "leg_lower"),
    "battery": ("battery",),
    "rotors": ("motor", "disc"),
    "propellers": ("disc",),
    "motors": ("motor",),
    "wires": ("clip", "arm", "arm_inner", "tube"),
}


@dataclass(frozen=True)
class Standing:
    """How far the results on the screen are from a full design."""

    basis: str
    sizing: str
    solids: str
    why_not: str = ""
    extra: tuple[Check, ...] = ()
    """Checks of the solid verification, while it is current."""

    @property
    def solids_pending(self) -> bool:
        return self.solids != "current"


def results_doc(study: Study | None, standing: Standing, revision: int) -> dict[str, Any]:
    """The document ``Results`` of docs/workbench-api.md."""
    top = {
        "revision": revision,
        "basis": standing.basis,
        "why_not": standing.why_not,
        "sizing": standing.sizing,
        "solids": standing.solids,
    }
    if study is None:
        return top | _nothing(standing.why_not)
    return top | _found(study, standing)


def _nothing(why: str) -> dict[str, Any]:
    return {
        "verdict": str(Verdict.UNKNOWN),
        "headline": why or "Nothing has been computed yet.",
        "counts": {str(verdict): 0 for verdict in Verdict},
        "pending": 0,
        "worst": None,
        "figures": [],
        "checks": [],
        "drivers": [],
        "notes": [],
        "stale": [],
    }


def _found(study: Study, standing: Standing) -> dict[str, Any]:
    every = (*study.checks, *standing.extra)
    waiting = {_id(check) for check in every if standing.solids_pending and from_solids(check)}
    judged = tuple(check for check in every if _id(check) not in waiting)
    seen = _Judged(judged)
    names = {spec.name: spec.key for spec in study.parts}
    return {
        "verdict": str(seen.verdict),
        "headline": headline(seen),  # type: ignore[arg-type]
        "counts": {str(each): len(having(judged, each)) for each in Verdict},
        "pending": len(waiting),
        "worst": _worst(study, judged),
        "figures": [figure_doc(each) for each in key_figures(study)],
        "checks": [check_doc(study, each, names, _id(each) in waiting) for each in every],
        "drivers": [_driver(each) for each in study.drivers],
        "notes": list(study.notes),
        "stale": []
        if standing.basis == "sized"
        else ["alternatives", "drivers", "layouts", "notes"],
    }


@dataclass(frozen=True)
class _Judged:
    """Just enough of a study for the words that speak of its checks."""

    checks: tuple[Check, ...]

    @property
    def verdict(self) -> Verdict:
        return Study.verdict.fget(self)  # type: ignore[attr-defined, no-any-return]


def from_solids(check: Check) -> bool:
    """Whether a check was made on the solids."""
    return check.key in SOLID_CHECKS or check.key.startswith("bed-")


def _id(check: Check) -> str:
    """Stays the same from edit to edit, unlike the load case of the worst rotor."""
    return f"{check.key}|{check.part}"


def _sentence(check: Check) -> str:
    """As ``outputs.words.sentence`` says it, with texts that are remembered."""
    where = f" ({check.part})" if check.part else ""
    bound = "at least" if check.at_least else "at most"
    found, wanted = (
        shown(each, check.unit, check.shown) for each in (check.demand, check.capacity)
    )
    return f"{capital(check.title)}{where}: {found}, {bound} {wanted} wanted."


def _worst(study: Study, checks: Iterable[Check]) -> dict[str, Any] | None:
    """The check that decides the verdict."""
    for verdict in (Verdict.FAILS, Verdict.UNKNOWN, Verdict.NARROWLY, Verdict.HOLDS):
        found = having(checks, verdict)
        if found:
            held = list(driven_by(study, found[0]))
            return {"check": _id(found[0]), "sentence": _sentence(found[0]), "drives": held}
    return None


def figure_doc(figure: Figure) -> dict[str, Any]:
    """One headline figure."""
    return {
        "key": figure.key,
        "label": figure.label,
        "group": figure.group,
        "value": json_ready(figure.value),
        "unit": figure.unit,
        "shown": figure.shown,
        "text": shown(figure.value, figure.unit, figure.shown),
        "method": figure.method,
        "source": figure.source,
        "spread": figure.spread,
        "spread_text": spread_words(figure.spread),
    }


def check_doc(
    study: Study, check: Check, names: Mapping[str, str], pending: bool
) -> dict[str, Any]:
    """One check with everything that the page tells of it."""
    keys = _keys(study, check, names)
    return {
        "id": _id(check),
        "key": check.key,
        "title": check.title,
        "group": check.group,
        "part": check.part,
        "keys": keys,
        "load_case": check.load_case,
        "demand": json_ready(check.demand),
        "capacity": json_ready(check.capacity),
        "unit": check.unit,
        "shown": check.shown,
        "demand_text": shown(check.demand, check.unit, check.shown),
        "capacity_text": shown(check.capacity, check.unit, check.shown),
        "at_least": check.at_least,
        "use": json_ready(use_of(check)),
        "margin": json_ready(check.margin),
        "margin_text": percent(check.margin),
        "verdict": str(check.verdict),
        "sentence": _sentence(check),
        "method": check.method,
        "source": check.source,
        "spread": check.spread,
        "spread_text": spread_words(check.spread),
        "note": check.note,
        "drives": list(driven_by(study, check)),
        "pending": pending,
    }


def _keys(study: Study, check: Check, names: Mapping[str, str]) -> list[str]:
    """Keys of the bodies of the assembly that a check speaks of."""
    keys: list[str] = []
    for part in (check.part, *check.part.split(", ")):
        keys += [names[part]] if part in names else PART_KEYS.get(part, ())
    return [key for key in dict.fromkeys(keys) if key in study.assembly.meshes]


def _driver(driver: Driver) -> dict[str, Any]:
    return {
        "dimension": driver.dimension,
        "value": driver.value,
        "text": dimension(driver.value, driver.shown),
        "check": driver.check,
        "saved": driver.saved,
        "saved_text": shown(driver.saved, "kg", "g") if driver.saved else "",
    }


def tables_doc(study: Study) -> list[dict[str, Any]]:
    """Every table of the build folder."""
    return [
        {
            "name": table.name,
            "columns": [{"name": each.name, "unit": each.unit} for each in table.columns],
            "rows": [list(row) for row in table.rows],
        }
        for table in tables(study)
    ]
