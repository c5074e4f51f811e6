/** What the picture tells the page around it, and what all its parts ask. */

import type { LoadShape, Shapes } from "../api/types";
import { type Signal, signal } from "../kit/signal";
import * as tools from "../state/picture";
import type { Airframe } from "./bodies";
import type { Lively } from "./lively";

export interface Legend {
  title: string;
  most: number;
  unit: "mm" | "share" | "limit";
}

export type Shown = Signal<{ frame: Airframe; lively: Lively } | null>;

export const legend = signal<Legend | null>(null);
/** Times that the drawn movement is larger than the real one; 0: at rest. */
export const drawnScale = signal(0);
export const under = signal<{ name: string; x: number; y: number } | null>(null);

/** The load case asked for, by its key or its title. */
export function caseNow(given: Shapes | null): LoadShape | undefined {
  const wanted = tools.loadCase();
  return given?.cases.find(({ key, title }) => key === wanted || title === wanted);
}

export function inkNamed(name: string): string {
  return getComputedStyle(document.body).getPropertyValue(name).trim();
}
