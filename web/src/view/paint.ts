/** Colours of the bodies: by part, by how far each corner moves, by the share of strength used. */

import { BufferAttribute, Color } from "three";
import type { Airframe, Body } from "./bodies";
import { rampLinear } from "./ramp";
import { shiftLengths } from "./shape";
import { setPlain } from "./shifting";

export interface Painted {
  /** Largest value on the scale; null where colours only tell parts apart. */
  most: number | null;
}

const GREY = new Color(0xa8ada6);
const READABLE = 0.62; // how bare result colours are shown: some light stays, for the shape

export function paintParts(frame: Airframe): Painted {
  for (const body of frame.bodies) flat(body, body.colour, 0);
  return { most: null };
}

/** By movement, m (or as a share of the largest, for modes). */
export function paintMovement(frame: Airframe): Painted {
  const lengths = frame.bodies.map((body) => (body.kind === "disc" ? null : shiftLengths(body)));
  const most = Math.max(
    1e-12,
    ...lengths.map((each) => (each ? each.reduce((a, b) => Math.max(a, b), 0) : 0)),
  );
  frame.bodies.forEach((body, k) => {
    const own = lengths[k];
    if (own) graded(body, own, most);
  });
  return { most };
}

/** By the worst use of strength of each body's beams; bodies without one stay grey. */
export function paintUse(frame: Airframe, use: Readonly<Record<string, number>>): Painted {
  for (const body of frame.bodies) {
    const share = use[body.name];
    const colour = share === undefined ? GREY : new Color(...rampLinear(Math.min(1, share)));
    if (body.kind !== "disc") flat(body, colour, share === undefined ? 0 : READABLE);
  }
  return { most: 1 };
}

function flat(body: Body, colour: Color, plain: number): void {
  const { material, geometry } = body.mesh;
  setPlain(material, plain);
  if (material.vertexColors) {
    material.vertexColors = false;
    material.needsUpdate = true;
  }
  geometry.deleteAttribute("color");
  material.color.copy(colour);
}

function graded(body: Body, values: Float32Array, most: number): void {
  const { material, geometry } = body.mesh;
  const colours = new Float32Array(3 * values.length);
  values.forEach((value, k) => colours.set(rampLinear(value / most), 3 * k));
  geometry.setAttribute("color", new BufferAttribute(colours, 3));
  material.color.set(0xffffff);
  setPlain(material, READABLE);
  if (!material.vertexColors) {
    material.vertexColors = true;
    material.needsUpdate = true;
  }
}

/** Picked bodies glow, what the pointer is over glows a little, others stand back. */
export function glow(
  frame: Airframe,
  picked: (body: Body) => boolean,
  over: Body | null,
  tone: string,
): void {
  const any = frame.bodies.some(picked);
  for (const body of frame.bodies) {
    if (body.kind === "disc") continue;
    const strength = any && picked(body) ? 0.42 : body === over ? 0.18 : 0;
    body.mesh.material.emissive.set(tone).multiplyScalar(strength);
  }
}

export function inkEdges(frame: Airframe, colour: string): void {
  for (const { edges } of frame.bodies) edges.material.color.set(colour);
}
