/** The exploded picture: bodies drawn away from the middle, in the order they come off. */

import { Vector3 } from "three";
import type { Airframe, Body } from "./bodies";

const OUT = 0.55; // of the airframe's half width, at full spread
const UP = 0.9;

/** Where each kind goes, up or down, in shares of the half width; our own choice by eye. */
const LIFT: Record<string, number> = {
  upper_plate: 0.28,
  seat: 0.42,
  flight_controller: 0.6,
  lower_plate: -0.24,
  tray: -0.42,
  battery: -0.66,
  leg: -0.5,
  payload: -0.8,
  motor: 0.3,
  disc: 0.44,
  mount: 0.14,
};

export function spread(frame: Airframe, share: number): void {
  const size = frame.box.getSize(new Vector3());
  const half = Math.max(size.x, size.z, size.y) / 2;
  for (const body of frame.bodies) place(body, half, share);
  frame.root.updateMatrixWorld(true);
}

function place(body: Body, half: number, share: number): void {
  const flat = new Vector3(body.middle.x, body.middle.y, 0);
  const away = flat.length() > 0.02 ? flat.normalize().multiplyScalar(OUT * half) : new Vector3();
  if (body.key === "leg") away.multiplyScalar(0.25);
  away.z = UP * half * liftOf(body);
  body.mesh.matrix.copy(body.home);
  body.mesh.matrix.elements[12] += away.x * share;
  body.mesh.matrix.elements[13] += away.y * share;
  body.mesh.matrix.elements[14] += away.z * share;
  body.mesh.matrixWorldNeedsUpdate = true;
}

function liftOf(body: Body): number {
  const known = LIFT[body.key] ?? LIFT[body.key.replace(/_.*/, "")];
  return known ?? (body.middle.z > 0.02 ? 0.72 : 0);
}
