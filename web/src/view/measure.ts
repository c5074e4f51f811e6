/** Dimensions by picking: two points, the line between them, and its length beside it. */

import { BufferGeometry, Line, LineBasicMaterial, Vector3 } from "three";
import { onPage } from "./aim";
import type { Stage } from "./stage";

export interface Measure {
  pick(point: Vector3): void;
  clear(): void;
  end(): void;
}

/** `write` puts a length and its three parts along nose, left and up (m) in words. */
export function makeMeasure(
  stage: Stage,
  place: HTMLElement,
  write: (length: number, parts: [number, number, number]) => string,
): Measure {
  const material = new LineBasicMaterial({ color: 0xc23b22, depthTest: false, transparent: true });
  const line = new Line(new BufferGeometry(), material);
  line.renderOrder = 10;
  line.visible = false;
  stage.scene.add(line);
  const label = document.createElement("output");
  label.className = "dimension";
  label.hidden = true;
  place.append(label);
  let points: Vector3[] = [];

  const stop = stage.onFrame(() => {
    const middle = points.length === 2 ? points[0]!.clone().lerp(points[1]!, 0.5) : points[0];
    const spot = middle && onPage(middle, stage.canvas, stage.camera);
    label.hidden = !spot;
    if (spot) label.style.transform = `translate(${spot.x}px, ${spot.y}px) translate(-50%, -140%)`;
    return false;
  });

  function tell(): void {
    const [a, b] = points;
    line.visible = Boolean(a && b);
    if (a && b) {
      line.geometry.setFromPoints([a, b]);
      const parts = b.clone().sub(a);
      label.textContent = write(parts.length(), [parts.z, parts.x, parts.y]);
    } else if (a) {
      label.textContent = "to where?";
    }
    stage.redraw();
  }

  return {
    pick(point) {
      points = points.length === 1 ? [...points, point] : [point];
      tell();
    },
    clear() {
      points = [];
      tell();
    },
    end() {
      stop();
      stage.scene.remove(line);
      label.remove();
    },
  };
}
