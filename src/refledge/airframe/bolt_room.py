"""How deep an arm, and how thick plates, the longest bolts pass."""

from refledge.airframe.body import Body
from refledge.airframe.bolting import longest_grip
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

    Drawn arms are chosen no deeper than the bolts pass (``build_pool``). Raises WishError where no
    plate leaves bolts long enough.
    """
    if task.brief.frame.arm_root == "folding":
        least = least_sunk(task.hardware.screws[task.brief.frame.rod_screw])
        plates = tuple(each for each in plates if each >= least)
    if task.grown is None:
        return plates
    deep, body = task.grown.interface, settings[0].body
    fits = []
    for plate in plates:
        root, tip = deepest(task, body, whole_layers(plate, task.brief.printer.layer))
        if deep.depth_root <= root and deep.depth_tip <= tip:
            fits.append(plate)
    if not fits:
        raise WishError(
            f"no bolt is long enough for the grown arm, {1e3 * deep.depth_root:.0f} mm deep, "
            "between plates; next: a larger rod screw (frame.rod_screw)"
        )
    return tuple(fits)
