/** What lies under the pointer: the body, the point, and the corner or edge close to it. */

import { type Camera, Raycaster, Vector2, Vector3 } from "three";
import type { Airframe, Body } from "./bodies";

const NEAR = 12; // px; closer than this a pick snaps to a corner

export interface Hit {
  readonly body: Body;
  readonly point: Vector3;
  readonly snapped: boolean;
}

const ray = new Raycaster();

export function aim(
  event: { clientX: number; clientY: number },
  canvas: HTMLCanvasElement,
  camera: Camera,
  frame: Airframe,
): Hit | null {
  const box = canvas.getBoundingClientRect();
  const spot = new Vector2(
    ((event.clientX - box.left) / box.width) * 2 - 1,
    1 - ((event.clientY - box.top) / box.height) * 2,
  );
  ray.setFromCamera(spot, camera);
  const solid = frame.bodies.filter(({ kind, mesh }) => kind !== "disc" && mesh.visible);
  for (const found of ray.intersectObjects(
    solid.map(({ mesh }) => mesh),
    false,
  )) {
    const body = solid.find(({ mesh }) => mesh === found.object);
    if (!body || clipped(body, found.point)) continue;
    const corner = cornerNear(body, found.point, spot, camera, box);
    return { body, point: corner ?? found.point.clone(), snapped: corner !== null };
  }
  return null;
}

function clipped(body: Body, point: Vector3): boolean {
  const planes = body.mesh.material.clippingPlanes ?? [];
  return planes.some((plane) => plane.distanceToPoint(point) < 0);
}

/** The end of a drawn edge within a few pixels, or null. */
function cornerNear(
  body: Body,
  point: Vector3,
  spot: Vector2,
  camera: Camera,
  box: DOMRect,
): Vector3 | null {
  const corners = body.edges.geometry.getAttribute("position");
  const [here, flat] = [new Vector3(), new Vector3()];
  let [best, least]: [Vector3 | null, number] = [null, NEAR];
  for (let k = 0; k < corners.count; k += 1) {
    here.fromBufferAttribute(corners, k).applyMatrix4(body.mesh.matrixWorld);
    if (here.distanceToSquared(point) > 0.0025) continue;
    flat.copy(here).project(camera);
    const away = Math.hypot(
      ((flat.x - spot.x) * box.width) / 2,
      ((flat.y - spot.y) * box.height) / 2,
    );
    if (away < least) [best, least] = [here.clone(), away];
  }
  return best;
}

/** Where a point of the picture lies on the page, px from the canvas' corner; null: behind. */
export function onPage(point: Vector3, canvas: HTMLCanvasElement, camera: Camera): Vector2 | null {
  const flat = point.clone().project(camera);
  if (flat.z > 1) return null;
  return new Vector2(
    ((flat.x + 1) / 2) * canvas.clientWidth,
    ((1 - flat.y) / 2) * canvas.clientHeight,
  );
}
