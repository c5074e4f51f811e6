"""What a grown arm meets and is made of, and whether it still fits where a brief names it."""

from typing import Any

from refledge.airframe.working import Working
from refledge.errors import InputError, Problem
from refledge.model.brief import Brief
from refledge.model.grown import (
    ArmInterface,
    GrownArm,
    GrownPlastic,
    PrintedAs,
    differences,
)
from refledge.model.parts import ArmDesign, ClampDesign, MountDesign

FIELD = "frame.grown_arm"
ALIKE = 0.01
"""Share by which the moduli may change otherwise than all together: a choice, well below what two
prints of one spool differ by."""
_PLASTIC = ("E", "E_z", "G_xz", "nu", "strength_xy", "strength_z", "shear_z")


def interface_of(
    arm: ArmDesign, clamp: ClampDesign, mount: MountDesign, allowance: float
) -> ArmInterface:
    """Of a designed arm between its clamp and its mount."""
    return ArmInterface(
        length=arm.length,
        width=arm.width,
        depth_root=arm.depth_root,
        depth_tip=arm.depth_tip,
        root_length=arm.root_length,
        tenon_length=arm.tenon_length,
        bore=arm.bore,
        **met_by(clamp, mount, allowance),
    )


def met_by(clamp: ClampDesign, mount: MountDesign, allowance: float) -> dict[str, Any]:
    """What clamp and mount ask of an arm, as fields of ArmInterface."""
    return {
        "root_radius": clamp.root_radius,
        "clamp_screw": clamp.screw,
        "clamp_first": clamp.first,
        "clamp_pitch_x": clamp.pitch_x,
        "clamp_pitch_y": clamp.pitch_y,
        "mount_screw": mount.screw,
        "mount_pitch_x": mount.pitch_x,
        "mount_pitch_y": mount.pitch_y,
        "mounts": mount.per_arm,
        "hole_allowance": allowance,
    }


def plastic_of(material: Working) -> GrownPlastic:
    """Of a material at flight conditions."""
    return GrownPlastic(key=material.key, **{name: getattr(material, name) for name in _PLASTIC})


def printed_as(brief: Brief) -> PrintedAs:
    """Settings that stiffness and strength of a print hang on."""
    wish, printer = brief.frame, brief.printer
    return PrintedAs(
        line=printer.extrusion_width,
        layer=printer.layer,
        walls=wish.walls,
        skins=wish.skins,
        infill=wish.infill,
    )


def refuse_misfit(brief: Brief, grown: GrownArm, now: ArmInterface) -> None:
    """Raise InputError where the arm does not go between what the brief now asks for."""
    changed = [_told(*each) for each in differences(grown.interface, now)]
    changed += [_told(*each) for each in differences(grown.printed, printed_as(brief))]
    if changed:
        allowed = "the interface and print settings that it was grown and solved for"
        raise _misfit(brief, f"an arm that no longer fits: {'; '.join(changed)}", allowed)


def softened(brief: Brief, grown: GrownArm, now: Working) -> tuple[float, float]:
    """(Give now over that when solved, use of strength now over that when solved).

    Raises InputError where the moduli did not change all together, as with warmth they do: the
    arm's give would then change in shape too.
    """
    old = grown.plastic
    stiff = [getattr(old, name) / getattr(now, name) for name in ("E", "E_z", "G_xz")]
    strong = [getattr(old, n) / getattr(now, n) for n in ("strength_xy", "strength_z", "shear_z")]
    if max(stiff) / min(stiff) - 1 > ALIKE or abs(old.nu - now.nu) > ALIKE:
        given = f"an arm solved with other ratios of moduli than {now.key} has by its card now"
        raise _misfit(brief, given, "the card that it was solved with, at any warmth")
    return max(stiff), max(strong)


def _misfit(brief: Brief, given: str, allowed: str) -> InputError:
    step = "grow it anew with refledge shape --verify, or strike this line out"
    return InputError(Problem(brief.title or "brief", FIELD, given, allowed, step))


def _told(name: str, old: object, new: object) -> str:
    words = name.replace("_", " ")
    if isinstance(old, float) and isinstance(new, float):
        if name == "infill":
            return f"{words} {100 * old:g} % then, {100 * new:g} % now"
        return f"{words} {1e3 * old:.2f} mm then, {1e3 * new:.2f} mm now"
    return f"{words} {old} then, {new} now"
