"""What a payload's line hangs from: webbing through two slots in the middle of the battery tray."""

from dataclasses import replace
from math import tan

from refledge.airframe.bosses import Hung, boss_stress
from refledge.airframe.judge import reserve
from refledge.airframe.rail import TRAILING
from refledge.airframe.task import Task
from refledge.airframe.tray import SLOT_PEAK, THICKEST
from refledge.airframe.working import Working
from refledge.flight.loads import line_pull
from refledge.geometry.tray import STRAP_PLAY, slot_edge
from refledge.model.brief import Brief
from refledge.model.hung import TrayDesign

WEBBING = 10e-3
"""m; width of the webbing round the tray from which a line hangs: from memory, typical."""


def webbing_for(brief: Brief) -> float:
    """Width of the webbing that the brief's payload asks for, m; 0 where it hangs from no line, or
    from rails."""
    return WEBBING if brief.payload.slung and brief.frame.payload_rail == "none" else 0.0


def line_stress(tray: TrayDesign, pull: float) -> float:
    """Bending stress of the tray across, in line with its screws, Pa; 0 without webbing.

    pull: N, all on one slot, as a line that trails far aside brings it. The plate is a cantilever
    from the row of screws to the slot's inner edge; the force spreads to either side as far as it
    has to go inwards, at 45 degrees (common practice).
    """
    if tray.line == 0.0:
        return 0.0
    reach = max(slot_edge(tray) - tray.pitch_y / 2, 0.0)
    width = tray.line + STRAP_PLAY + 2 * reach
    return SLOT_PEAK * 6.0 * pull * reach / (width * tray.thickness**2)


def boss_pull(tray: TrayDesign, hole: float, pull: float) -> float:
    """Pull across the layers of the hardest-loaded boss by the line, Pa; 0 without bosses.

    pull: N, all on one slot, trailing; the nearer row of bosses takes the greater part of it by the
    lever rule. hole: through a boss, m.
    """
    if tray.line == 0.0:
        return 0.0
    up = pull * (1.0 + 2.0 * slot_edge(tray) / tray.pitch_y)
    side = pull * tan(TRAILING)
    return boss_stress(tray, hole, Hung(up=up, side=side, below=tray.hang, at=tray.pitch_x / 2))


def sized_for_line(task: Task, tray: TrayDesign, material: Working) -> TrayDesign:
    """The tray, thicker in whole layers where the line's hardest pull asks for it."""
    if tray.line == 0.0:
        return tray
    limits, layer = task.brief.limits, task.brief.printer.layer
    thrust, payload = task.full.total_thrust, task.brief.payload.mass
    held = limits.landing_factor * line_pull(payload, task.all_up_mass, thrust)
    flown = limits.flight_factor * payload * thrust / task.all_up_mass
    limit = material.strength_xy / (1.0 + reserve(material.strength_spread))
    while tray.thickness < THICKEST - layer and line_stress(tray, max(held, flown)) > limit:
        tray = replace(tray, thickness=tray.thickness + 2 * layer)
    return tray
