/** The section cut: one plane, moved along an axis of the airframe. */

import { type Box3, Plane, Vector3 } from "three";
import type { Airframe } from "./bodies";

export type Axis = "nose" | "left" | "up";

// Body axes in the picture's axes: nose is z, left is x, up is y.
const AXES: Record<Axis, Vector3> = {
  nose: new Vector3(0, 0, 1),
  left: new Vector3(1, 0, 0),
  up: new Vector3(0, 1, 0),
};

/** Cut everything but the discs at `share` (0 to 1) of the box along `axis`; null: whole again. */
export function cut(frame: Airframe, axis: Axis | null, share: number): void {
  const planes = axis ? [planeAt(frame.box, axis, share)] : null;
  for (const { kind, mesh, edges, inside } of frame.bodies) {
    if (kind === "disc") {
      mesh.visible = !axis;
      continue;
    }
    mesh.material.clippingPlanes = planes;
    edges.material.clippingPlanes = planes;
    inside.material.clippingPlanes = planes;
    inside.visible = planes !== null;
  }
}

/** Keeps what lies below `share` of the box along the axis. */
export function planeAt(box: Box3, axis: Axis, share: number): Plane {
  const along = AXES[axis];
  const [low, high] = [box.min.dot(along), box.max.dot(along)];
  return new Plane(along.clone().negate(), low + share * (high - low));
}
