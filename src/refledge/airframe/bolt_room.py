"""How deep an arm, and how thick plates, the longest bolts pass."""

from refledge.airframe.body import Body
from refledge.airframe.bolting import longest_grip
from refledge.airframe.candidates import DEPTHS, LEAST_TIP
from refledge.airframe.framing import Setting, whole_layers
from refledge.airframe.hinge import longest_lock
from refledge.airframe.rooting import WIRE_BORE
from refledge.airframe.task import Task
from refledge.errors import WishError
from refledge.geometry.plate import least_sunk


def deepest(task: Task, body: Body, plate: float) -> tuple[float, float]:
    """Deepest root block and tip that the longest bolts pass, with all that they clamp, m."""
    clamp = task.hardware.screws[body.clamp.screw]
    mount = task.hardware.screws[body.mount.screw]
    root = longest_grip(clamp, task.lengths) - 2 * plate - _flanges(body)
    if body.hinge is not None:
        root = min(root, longest_lock(task.brief, body.clamp, WIRE_BORE, task.hardware) - 2 * plate)
    tip = longest_grip(mount, task.lengths) - body.mount.per_arm * body.mount.thickness
    tip -= body.guard.thickness if body.guard else 0.0
    return root, tip


def _flanges(body: Body) -> float:
    """Most that a clamp bolt passes beside plates and arm, m.

    The flange of a leg, or of what stands on the upper plate, with a leg's under a mast over it.
    """
    leg, mast = body.leg.flange_thickness, body.mast
    both = leg if mast and mast.arm in body.leg.arms else 0.0
    decked = (body.mast, body.receiver_holder, body.antenna_holder)
    above = [each.flange_thickness for each in decked if each]
    if mast:
        above.append(mast.flange_thickness + both)
    return max(leg, *above) if above else leg


def plates_for(task: Task, settings: list[Setting], plates: tuple[float, ...]) -> tuple[float, ...]:
    """Those of ``plates`` (m) to try: with an arm whose depth is fixed, those that bolts pass too;
    the legs' screws of folding arms sink into the lower one.

    Drawn arms are chosen no deeper than the bolts pass (``build_pool``), so that a plate must leave
    room for the shallowest. Raises WishError where no plate leaves bolts long enough.
    """
    if task.brief.frame.arm_root == "folding":
        least = least_sunk(task.hardware.screws[task.brief.frame.rod_screw])
        plates = tuple(each for each in plates if each >= least)
    grown = task.grown
    root, tip = (
        (grown.interface.depth_root, grown.interface.depth_tip)
        if grown
        else (float(DEPTHS[0]), LEAST_TIP)
    )
    fits = tuple(each for each in plates if _passes(task, settings[0].body, each, root, tip))
    if not fits:
        arm = "the grown arm" if grown else "the shallowest arm"
        raise WishError(
            f"no bolt is long enough for {arm}, {1e3 * root:.0f} mm deep, "
            "between plates; next: a larger rod screw (frame.rod_screw)"
        )
    return fits


def _passes(task: Task, body: Body, plate: float, root: float, tip: float) -> bool:
    """Whether bolts pass plates ``plate`` thick with an arm so deep at root and tip, m."""
    most = deepest(task, body, whole_layers(plate, task.brief.printer.layer))
    return root <= most[0] + 1e-9 and tip <= most[1] + 1e-9
