/** Which way it flies: an arrow on the floor with its name beside it. */

import { BufferGeometry, type Color, Line, LineBasicMaterial, Vector3 } from "three";
import { onPage } from "./aim";
import type { Stage } from "./stage";

const ROOM = 26; // px, a line of the label's text

export interface Nose {
  /** Stand at `reach` before the middle, on the floor at `height`, m. */
  put(reach: number, height: number): void;
  ink(colour: Color): void;
  end(): void;
}

export function makeNose(stage: Stage, place: HTMLElement): Nose {
  const line = new Line(new BufferGeometry(), new LineBasicMaterial());
  line.visible = false;
  stage.scene.add(line);
  const label = document.createElement("span");
  label.className = "nose";
  label.textContent = "nose";
  label.hidden = true;
  place.append(label);
  const tip = new Vector3();
  const stop = stage.onFrame(() => {
    const spot = line.visible ? onPage(tip, stage.canvas, stage.camera) : null;
    label.hidden = !spot;
    if (!spot) return false;
    const lowest = stage.canvas.clientHeight - ROOM; // clear of the tools below
    const y = Math.min(spot.y + 4, lowest);
    label.style.transform = `translate(${spot.x}px, ${y}px) translate(-50%, 0)`;
    return false;
  });
  return {
    put(reach, height) {
      tip.set(0, height, reach * 1.06);
      const [back, wing] = [reach * 0.98, reach * 0.035];
      const corners = [
        [0, reach * 0.8],
        [0, reach * 1.06],
        [wing, back],
        [0, reach * 1.06],
        [-wing, back],
      ];
      line.geometry.setFromPoints(corners.map(([x, z]) => new Vector3(x, height, z)));
      line.visible = true;
      stage.redraw();
    },
    ink: (colour) => line.material.color.copy(colour),
    end() {
      stop();
      line.removeFromParent();
      line.geometry.dispose();
      label.remove();
    },
  };
}
