/** The bodies set in motion: a still deflection grown by a scale, or a mode swinging. */

import type { Airframe } from "./bodies";
import { applyMovement, type Movement } from "./shape";
import type { Stage } from "./stage";

const SWING = 0.7; // Hz on the screen; real modes are far too quick to see
const SEEN = 0.09; // of the airframe's half width: how far the largest movement is drawn

export interface Lively {
  /** Show a movement; the answer is the scale at which `share` = 1 is drawn. */
  show(movement: Movement, swing: boolean): number;
  grow(share: number): void;
  rest(): void;
  end(): void;
}

/** Scale that draws the largest movement at a size that can be seen, rounded to 1, 2 or 5. */
export function seenScale(largest: number, half: number): number {
  if (!(largest > 0)) return 1;
  const wanted = (SEEN * half) / largest;
  const power = 10 ** Math.floor(Math.log10(wanted));
  const lead = wanted / power;
  return power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1);
}

export function makeLively(stage: Stage, frame: Airframe, still: () => boolean): Lively {
  let [scale, share, swinging] = [1, 1, false];
  const stop = stage.onFrame((seconds) => {
    const wave = swinging && !still() ? Math.sin(2 * Math.PI * SWING * seconds) : 1;
    frame.amount.value = swinging || share ? scale * share * wave : 0;
    return swinging && !still();
  });
  const half = (frame.box.max.x - frame.box.min.x) / 2;
  return {
    show(movement, swing) {
      scale = seenScale(applyMovement(frame.bodies, movement), half);
      swinging = swing;
      stage.redraw();
      return scale;
    },
    grow(next) {
      share = next;
      stage.redraw();
    },
    rest() {
      [scale, swinging] = [0, false];
      stage.redraw();
    },
    end: stop,
  };
}
