"""Snap tongues: strain as they give way, what they hold, the stoutest that a material takes."""

from math import inf

from refledge.airframe.judge import judge, reserve
from refledge.airframe.working import Working
from refledge.model.checks import Check

LIPS = (0.8e-3, 0.6e-3, 0.4e-3)
"""m; reach of a lip, the deepest that its tongue can take: our choice."""
WALLS = (5, 2)
"""Most and fewest printed lines of a tongue's wall: our choice."""
TONGUE = 12e-3
"""m; width of a tongue at most: our choice."""
REPEATED = 0.6
"""Share of the strain at break that a snap may take again and again: handbooks of snap fits, from
memory."""
FRICTION = 0.3
"""Of plastic on plastic: from memory, typical."""


def snap_strain(wall: float, lip: float, length: float) -> float:
    """Strain at a tongue's root as its lip gives way, 1: a beam clamped at one end.

    3 t d / (2 L^2), handbook formula for cantilever snap fits (from memory): the curvature 3 d /
    L^2 at the root of a cantilever bent by d at its end, times half its thickness.
    """
    return 3 * wall * lip / (2 * length**2)


def strain_limit(material: Working) -> float:
    """Strain that an upright tongue takes again and again, 1: its layers lie across the bending."""
    return REPEATED * material.strength_z / material.E_z


def snap_hold(
    tongue: float, wall: float, lip: float, length: float, E: float, friction: float = FRICTION
) -> float:
    """Pull at which two lips give way, N; lengths in m, E of the upright tongue in Pa.

    Side force 3 E I d / L^3 of each, times (friction + tan 45) / (1 - friction tan 45), handbook
    formula for snap fits, from memory.
    """
    side = 3 * E * tongue * wall**3 / 12 * lip / length**3
    return 2 * side * (friction + 1.0) / (1.0 - friction)


def best_snap(
    material: Working, line: float, length: float, most: float = inf
) -> tuple[float, float]:
    """Wall and lip, m: the deepest lip, and with it the thickest wall up to ``most`` (m) in whole
    printed lines, that the tongue takes; thinnest and shallowest where it takes none."""
    limit = strain_limit(material) / (1.0 + reserve(material.interlayer_spread))
    for lip in LIPS:
        for lines in range(WALLS[0], WALLS[1] - 1, -1):
            wall = lines * line
            if wall <= most + 1e-9 and snap_strain(wall, lip, length) <= limit:
                return wall, lip
    return WALLS[1] * line, LIPS[-1]


def snap_checks(
    key: str, part: str, words: str, size: tuple[float, float, float, float], material: Working,
    pull: tuple[float, str],
) -> tuple[Check, Check]:  # fmt: skip
    """Strain of the tongues and the pull that they hold.

    size: width, wall, lip and length of a tongue, m. pull: what pulls, N, and in which load case.
    """
    tongue, wall, lip, length = size
    return (
        judge(
            key=f"{key}-strain", title=f"bending of the tongues of the {words}", group="strength",
            part=part, demand=snap_strain(wall, lip, length), capacity=strain_limit(material),
            unit="1", shown="%", spread=material.interlayer_spread,
            method="snap fit as a cantilever, strain 3 t d / (2 L²) across the layers; 60 % of "
            "the strain at break, as it is opened again and again",
            source="strength and modulus across layers from the material card",
        ),
        judge(
            key=f"{key}-hold", title=f"pull on the lips of the {words}", group="strength",
            part=part, load_case=pull[1], demand=pull[0],
            capacity=snap_hold(tongue, wall, lip, length, material.E_z), unit="N", shown="N",
            spread=material.stiffness_spread,
            method="side force of both tongues as cantilevers over lips at 45 degrees, friction "
            "0.3; hardest acceleration of the body taken upwards; factor of landing",
            source="modulus across layers from the material card",
        ),
    )  # fmt: skip
