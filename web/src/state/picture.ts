/** What the large picture shows, chosen by its tools and by the pages. */

import { signal } from "../kit/signal";
import type { Axis } from "../view/cut";

export type Paint = "parts" | "movement" | "use";

export const apart = signal(0); // 0 together, 1 spread out
export const cutAxis = signal<Axis | null>(null);
export const cutShare = signal(0.5);
export const measuring = signal(false);
export const discs = signal(true);
export const paint = signal<Paint>("parts");
/** Key of the load case whose arrows and deflection are drawn. */
export const loadCase = signal<string | null>(null);
export const arrows = signal(true);
/** Index of the mode shape that swings. */
export const mode = signal<{ of: string; index: number } | null>(null);
/** How much of the drawn movement, 0 to 1. */
export const growth = signal(1);
/** Names of variants laid over the airframe. */
export const overlays = signal<readonly string[]>([]);

export function plain(): void {
  loadCase.set(null);
  mode.set(null);
  paint.set("parts");
}
