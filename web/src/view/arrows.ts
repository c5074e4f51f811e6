/** Load arrows: where the forces of a load case act and which way, longest for the largest. */

import {
  ConeGeometry,
  CylinderGeometry,
  Group,
  Mesh,
  MeshBasicMaterial,
  Quaternion,
  Vector3,
} from "three";

import { TO_PICTURE } from "./bodies";

export interface Arrow {
  readonly at: readonly number[]; // (3,), m, body axes
  readonly vector: readonly number[]; // (3,), N
  readonly label?: string;
}

const SHAFT = new CylinderGeometry(1, 1, 1, 12).translate(0, 0.5, 0);
const HEAD = new ConeGeometry(1, 1, 16).translate(0, 0.5, 0);
const UP = new Vector3(0, 1, 0);
const LEAST = 0.12; // of the longest: a weak force must still be seen

export function makeArrows(arrows: readonly Arrow[], longest: number, colour: string): Group {
  const group = new Group();
  group.matrixAutoUpdate = false;
  group.matrix.copy(TO_PICTURE);
  const material = new MeshBasicMaterial({ color: colour });
  const most = Math.max(...arrows.map(({ vector }) => Math.hypot(...vector)), 1e-9);
  for (const { at, vector: force } of arrows) {
    const size = Math.hypot(...force);
    if (size < 1e-6 * most) continue;
    group.add(arrow(at, force, longest * Math.max(LEAST, size / most), longest, material));
  }
  return group;
}

/** Take them out of the picture and let go of their material; their forms are shared. */
export function endArrows(group: Group): void {
  group.removeFromParent();
  group.traverse((node) => {
    if (node instanceof Mesh) (node.material as MeshBasicMaterial).dispose();
  });
}

function arrow(
  at: readonly number[],
  force: readonly number[],
  length: number,
  longest: number,
  material: MeshBasicMaterial,
): Group {
  const direction = new Vector3(...(force as [number, number, number])).normalize();
  const head = Math.min(0.16 * longest, 0.5 * length);
  const shaft = new Mesh(SHAFT, material);
  shaft.scale.set(0.016 * longest, length - head, 0.016 * longest);
  const tip = new Mesh(HEAD, material);
  tip.scale.set(0.05 * longest, head, 0.05 * longest);
  tip.position.y = length - head;
  const whole = new Group();
  whole.add(shaft, tip);
  whole.quaternion.copy(new Quaternion().setFromUnitVectors(UP, direction));
  whole.position.set(...(at as [number, number, number]));
  return whole;
}
