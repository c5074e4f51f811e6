/** Squared paper under the airframe, fading outwards; one square is 50 mm. */

import {
  BufferGeometry,
  Color,
  Float32BufferAttribute,
  LineBasicMaterial,
  LineSegments,
} from "three";

export const CELL = 0.05; // m
const CELLS = 13; // from the middle outwards

export function makeFloor(): LineSegments<BufferGeometry, LineBasicMaterial> {
  const places: number[] = [];
  const shades: number[] = [];
  const far = CELL * CELLS;
  const corner = (x: number, z: number): void => {
    places.push(x, 0, z);
    const fade = Math.max(0, 1 - Math.hypot(x, z) / far);
    shades.push(1, 1, 1, fade ** 0.7);
  };
  for (let k = -CELLS; k <= CELLS; k += 1) {
    for (let j = -CELLS; j < CELLS; j += 1) {
      const [fixed, from, to] = [k * CELL, j * CELL, (j + 1) * CELL];
      corner(fixed, from);
      corner(fixed, to);
      corner(from, fixed);
      corner(to, fixed);
    }
  }
  const geometry = new BufferGeometry();
  geometry.setAttribute("position", new Float32BufferAttribute(places, 3));
  geometry.setAttribute("color", new Float32BufferAttribute(shades, 4));
  const material = new LineBasicMaterial({
    vertexColors: true,
    transparent: true,
    depthWrite: false,
  });
  const floor = new LineSegments(geometry, material);
  floor.renderOrder = -1;
  return floor;
}

export function inkFloor(floor: ReturnType<typeof makeFloor>, line: string): void {
  floor.material.color = new Color(line);
}
