/** What is drawn beside the airframe: load arrows, variants laid over; and what the pointer does. */

import type { Group, Vector3 } from "three";
import { effect, type Signal } from "../kit/signal";
import { pick } from "../state/picked";
import * as tools from "../state/picture";
import { shapes } from "../state/study";
import { aim } from "./aim";
import { endArrows, makeArrows } from "./arrows";
import type { Body } from "./bodies";
import { letGo, overlayOf } from "./overlay";
import type { Stage } from "./stage";
import { caseNow, inkNamed, type Shown, under } from "./told";

const LONGEST = 0.16; // m, of the arrow for the largest force
const OVERLAY = ["#b3261e", "#5f4b8b"];

/** Forces of the load case that is shown. */
export function followArrows(stage: Stage): void {
  let drawn: Group | null = null;
  effect(() => {
    if (drawn) {
      endArrows(drawn);
      stage.redraw();
    }
    drawn = null;
    const found = tools.loadCase() ? caseNow(shapes()) : null;
    if (!found || !tools.arrows() || tools.mode()) return;
    drawn = makeArrows(found.arrows, LONGEST, inkNamed("--bad"));
    stage.scene.add(drawn);
    stage.redraw();
  });
}

/** Variants laid over, each in a colour of its own. */
export function followOverlays(stage: Stage): void {
  const drawn = new Map<string, Group>();
  effect(() => {
    const wanted = tools.overlays();
    for (const [name, group] of drawn) {
      if (wanted.includes(name)) continue;
      letGo(group);
      drawn.delete(name);
    }
    wanted.forEach((name, k) => {
      if (drawn.has(name)) return;
      void overlayOf(name, OVERLAY[k % OVERLAY.length]!).then((group) => {
        if (!tools.overlays.peek().includes(name)) return letGo(group);
        drawn.set(name, group);
        stage.scene.add(group);
        stage.redraw();
      });
    });
    stage.redraw();
  });
}

/** Names under the pointer; presses pick a part, or a point to measure from. */
export function followPointer(
  stage: Stage,
  place: HTMLElement,
  shown: Shown,
  over: Signal<Body | null>,
  measure: { pick(point: Vector3): void },
): void {
  let pressed: [number, number] | null = null;
  const at = (event: PointerEvent) => {
    const frame = shown.peek()?.frame;
    return frame ? aim(event, stage.canvas, stage.camera, frame) : null;
  };
  stage.canvas.addEventListener(
    "pointerdown",
    (event) => (pressed = [event.clientX, event.clientY]),
  );
  stage.canvas.addEventListener("pointermove", (event) => {
    if (event.buttons) return;
    const hit = at(event);
    over.set(hit?.body ?? null);
    const box = place.getBoundingClientRect();
    under.set(
      hit ? { name: hit.body.name, x: event.clientX - box.left, y: event.clientY - box.top } : null,
    );
    stage.canvas.style.cursor = hit ? (tools.measuring.peek() ? "crosshair" : "pointer") : "grab";
  });
  stage.canvas.addEventListener("pointerleave", () => {
    over.set(null);
    under.set(null);
  });
  stage.canvas.addEventListener("pointerup", (event) => {
    if (!pressed || Math.hypot(event.clientX - pressed[0], event.clientY - pressed[1]) > 4) return;
    const hit = at(event);
    if (tools.measuring.peek()) {
      if (hit) measure.pick(hit.point);
    } else pick(hit ? [hit.body.key] : [], hit?.body.name ?? null);
  });
}
