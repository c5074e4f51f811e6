"""The same arm as a finely cut beam frame, built apart from the evaluator under test."""

import numpy as np

from refledge.analysis import sections
from refledge.analysis.arms import (
    ArmClamp,
    ArmLoads,
    ArmMaterial,
    ArmShape,
    held_ends,
    span_section,
)
from refledge.analysis.beam import BeamFrame, PointMass, Spring, all_dofs, frame_of

ROOT, SPAN, TENON = 4, 32, 2


def arm_frame(
    family: str, s: ArmShape, m: ArmMaterial, q: ArmLoads, c: ArmClamp
) -> tuple[BeamFrame, np.ndarray]:
    """Frame with its tip node last, and the degrees of freedom held at the root.

    Nodes lie at half depth of the root block; beams at their centroids under a level top face.
    """
    axis = s.length - s.tenon_length / 2
    tenon_at = s.length - s.tenon_length
    cuts = [
        np.linspace(c.x, s.root_length, ROOT + 1),
        np.linspace(s.root_length, tenon_at, SPAN + 1)[1:],
        np.linspace(tenon_at, axis, TENON + 1)[1:],
    ]
    x = np.concatenate(cuts)
    middle = (x[1:] + x[:-1]) / 2
    nodes = np.column_stack([x, 0 * x, 0 * x])
    top = s.depth_root / 2
    elements = np.column_stack([np.arange(len(x) - 1), np.arange(1, len(x))])
    section = _section(family, s, m, middle, tenon_at)
    offsets = np.zeros((len(elements), 2, 3))
    offsets[:, :, 2] = (top - section.centroid)[:, None]
    stub = s.tenon_length / 2
    line = m.rho * section.volume_per_length[-1]
    turn = line * stub * np.array([section.Iy[-1] + section.Iz[-1], section.Iy[-1], section.Iz[-1]])
    own = np.diag(turn / section.area[-1] + line * stub**3 / 12 * np.array([0, 1, 1]))
    tip = len(x) - 1
    masses = (
        PointMass(tip, line * stub, own, np.array([stub / 2, 0, offsets[-1, 0, 2]])),
        PointMass(
            tip,
            q.tip_mass,
            np.diag([q.tip_inertia_x, q.tip_inertia_y, q.tip_inertia_z]),
            np.array([0, 0, top + q.tip_offset]),
        ),
    )
    root = np.array([0, 0, 0, c.stiffness_x, c.stiffness_y, c.stiffness_z])
    frame = frame_of(
        nodes,
        elements,
        section,
        m.E,
        m.G,
        m.rho,
        offsets=offsets,
        shear_centre=section.centroid - section.shear_centre,
        masses=masses,
        springs=(Spring(0, -1, root),),
    )
    return frame, all_dofs(0)[:3]


def _section(family, s, m, middle, tenon_at):
    span = tenon_at - s.root_length
    along = np.clip((middle - s.root_length) / span, 0, 1)
    depth = s.depth_root + (s.depth_tip - s.depth_root) * along
    if family == "tube":
        return span_section(family, s, depth, m.layered())
    block = sections.solid(s.width, depth, s.bore, m.layered())
    inside = (middle > s.root_length) & (middle < tenon_at)
    free = held_ends(span_section(family, s, depth[inside], m.layered()), np.asarray(span))
    values = {}
    for name in sections.Section.__dataclass_fields__:
        whole = np.array(np.broadcast_to(getattr(block, name), depth.shape))
        whole[inside] = getattr(free, name)
        values[name] = whole
    return sections.Section(**values)
