"""Chart data of a study for the page."""

from typing import Any

from refledge.interfaces.web.results_doc import from_solids
from refledge.interfaces.web.wording import json_ready
from refledge.live.figures import use_of
from refledge.live.series import Mode, hover_discharge, mass_groups, speed_chart
from refledge.outputs.words import material_name
from refledge.study import Study


def charts_doc(study: Study, revision: int, *, solids_pending: bool) -> dict[str, Any]:
    """The document ``Charts`` of docs/workbench-api.md."""
    return {
        "revision": revision,
        "speeds": _speeds(study),
        "use": _use(study, solids_pending),
        "masses": _masses(study),
        "alternatives": _alternatives(study),
        "layouts": _layouts(study),
    }


def _speeds(study: Study) -> dict[str, Any]:
    chart = speed_chart(study)
    return {
        "throttle": json_ready(chart.throttle),
        "once_hz": json_ready(chart.once),
        "blade_hz": json_ready(chart.blade),
        "blades": chart.blades,
        "hover": [
            {"name": h.name, "throttle": h.throttle, "once_hz": h.once, "blade_hz": h.blade}
            for h in chart.hovers
        ],
        "bands": [{"low_hz": b.low, "high_hz": b.high, "why": b.why} for b in chart.bands],
        "bandwidth": {"hz": chart.bandwidth, "wanted_hz": chart.wanted},
        "modes": [_mode(each) for each in chart.modes],
    }


def _mode(mode: Mode) -> dict[str, Any]:
    return {
        "of": mode.of,
        "mode": mode.index,
        "hz": json_ready(mode.hz),
        "label": mode.label,
        "felt": json_ready(mode.felt),
        "felt_limit": mode.felt_limit,
        "matters": mode.matters,
    }


def _use(study: Study, solids_pending: bool) -> list[dict[str, Any]]:
    return [
        {
            "id": f"{check.key}|{check.part}",
            "label": check.title,
            "part": check.part,
            "load_case": check.load_case,
            "group": check.group,
            "use": json_ready(use_of(check)),
            "verdict": str(check.verdict),
            "pending": solids_pending and from_solids(check),
        }
        for check in study.checks
    ]


def _masses(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "group": group.group,
            "label": group.label,
            "kg": json_ready(group.mass),
            "lines": [
                {
                    "label": line.name,
                    "quantity": line.quantity,
                    "each_kg": json_ready(line.each),
                    "kg": json_ready(line.total),
                }
                for line in group.lines
            ],
        }
        for group in mass_groups(study)
    ]


def _alternatives(study: Study) -> list[dict[str, Any]]:
    arm = study.frame.arm
    return [
        {
            "family": each.family,
            "material": each.material,
            "material_name": material_name(study, each.material),
            "feasible": each.feasible,
            "frame_kg": each.frame_mass,
            "arm_kg": each.arm_mass,
            "tilt_rad": json_ready(each.tilt),
            "first_mode_hz": json_ready(each.first_mode),
            "worst": each.worst,
            "chosen": (each.family, each.material) == (arm.family, study.frame.plate.material),
        }
        for each in study.alternatives
    ]


def _layouts(study: Study) -> list[dict[str, Any]]:
    return [
        {
            "kind": each.kind,
            "chosen": each.chosen,
            "all_up_kg": each.assumed_mass,
            "hover_w": json_ready(each.hover_power),
            "endurance_s": json_ready(each.endurance),
            "thrust_margin": json_ready(each.thrust_margin),
            "radius_m": each.motor_radius,
            "footprint_m": each.footprint,
            "rotors": each.rotors,
            "reason": each.reason,
        }
        for each in study.layout_options
    ]


def discharge_doc(study: Study) -> dict[str, Any]:
    """The hover from a full pack to its end."""
    found = hover_discharge(study)
    return {
        "time_s": json_ready(found.time),
        "voltage": json_ready(found.voltage),
        "current": json_ready(found.current),
        "charge": json_ready(found.charge),
        "ended_by": found.ended_by,
        "wanted_s": study.brief.mission.hover_time,
        "method": "hover at constant power, cells warming by their own loss; explicit Runge-Kutta",
    }
