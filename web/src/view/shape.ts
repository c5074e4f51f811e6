/** Carry the beam frame's movement over to the bodies, as docs/workbench-api.md says ("Shapes"). */

import { Matrix3, Vector3 } from "three";
import type { Binding } from "../api/types";
import type { Body } from "./bodies";

/** Movement of the beam frame's nodes in body axes. */
export interface Movement {
  readonly nodes: readonly number[][]; // (n, 3), m
  readonly moved: readonly number[][]; // (n, 6), m and rad
  readonly bodies: Readonly<Record<string, Binding>>;
}

const SOFT = 0.005 ** 2; // m2, keeps a sheet's weights finite at its nodes

/** Fill every body's shifts; the answer is the largest translation of a node, m. */
export function applyMovement(bodies: readonly Body[], movement: Movement): number {
  for (const body of bodies) {
    const binding = movement.bodies[body.name];
    if (binding) shiftAll(body, (point) => movementAt(movement, binding, point));
    else shiftAll(body, () => new Vector3());
  }
  return Math.max(0, ...movement.moved.map((row) => Math.hypot(row[0]!, row[1]!, row[2]!)));
}

/** Movement of a point at rest at `point` (body axes, m). */
export function movementAt(movement: Movement, { how, nodes }: Binding, point: Vector3): Vector3 {
  if (how === "rigid") return carried(movement, nodes[0]!, point);
  if (how === "line") return alongLine(movement, nodes, point);
  return onSheet(movement, nodes, point);
}

/** u = d + r x (p - x): rigid motion with a small rotation. */
function carried({ nodes, moved }: Movement, node: number, point: Vector3): Vector3 {
  const [x, y, z] = nodes[node]!;
  const [dx, dy, dz, rx, ry, rz] = moved[node]!;
  const turn = new Vector3(rx, ry, rz);
  return turn
    .cross(new Vector3(point.x - x!, point.y - y!, point.z - z!))
    .add(new Vector3(dx, dy, dz));
}

function alongLine(movement: Movement, chain: readonly number[], point: Vector3): Vector3 {
  let [best, share, least] = [0, 0, Infinity];
  for (let k = 0; k + 1 < chain.length; k += 1) {
    const start = new Vector3(...(movement.nodes[chain[k]!] as [number, number, number]));
    const run = new Vector3(...(movement.nodes[chain[k + 1]!] as [number, number, number])).sub(
      start,
    );
    const along = point.clone().sub(start).dot(run) / (run.lengthSq() || 1);
    const held = Math.min(1, Math.max(0, along));
    const gap = start.addScaledVector(run, held).distanceToSquared(point);
    if (gap < least) [best, share, least] = [k, held, gap];
  }
  const from = carried(movement, chain[best]!, point);
  if (chain.length < 2) return from;
  return from.lerp(carried(movement, chain[best + 1]!, point), share);
}

function onSheet(movement: Movement, nodes: readonly number[], point: Vector3): Vector3 {
  const sum = new Vector3();
  let weights = 0;
  for (const node of nodes) {
    const [x, y, z] = movement.nodes[node]!;
    const gap = (point.x - x!) ** 2 + (point.y - y!) ** 2 + (point.z - z!) ** 2;
    const weight = 1 / (gap + SOFT);
    sum.addScaledVector(carried(movement, node, point), weight);
    weights += weight;
  }
  return sum.divideScalar(weights);
}

/** Length of each corner's movement, m, for colouring. */
export function shiftLengths(body: Body): Float32Array {
  const shift = body.mesh.geometry.getAttribute("shift").array as Float32Array;
  const lengths = new Float32Array(shift.length / 3);
  for (let k = 0; k < lengths.length; k += 1) {
    lengths[k] = Math.hypot(shift[3 * k]!, shift[3 * k + 1]!, shift[3 * k + 2]!);
  }
  return lengths;
}

function shiftAll(body: Body, at: (point: Vector3) => Vector3): void {
  const back = new Matrix3().setFromMatrix4(body.home.clone().invert());
  for (const geometry of [body.mesh.geometry, body.edges.geometry]) {
    const corners = geometry.getAttribute("position");
    const shift = geometry.getAttribute("shift");
    const point = new Vector3();
    for (let k = 0; k < corners.count; k += 1) {
      point.fromBufferAttribute(corners, k).applyMatrix4(body.home);
      const moved = at(point).applyMatrix3(back);
      shift.setXYZ(k, moved.x, moved.y, moved.z);
    }
    shift.needsUpdate = true;
  }
}
