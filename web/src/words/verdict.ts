/** The verdict in words, marks and colours; a mark says it without colour. */

import type { Check, Verdict } from "../api/types";
import { written } from "./units";

export const WORST_FIRST: readonly Verdict[] = ["fails", "cannot say", "holds narrowly", "holds"];

export const TONE: Record<Verdict, string> = {
  holds: "good",
  "holds narrowly": "near",
  fails: "bad",
  "cannot say": "dunno",
};

export const MARK: Record<Verdict, string> = {
  holds: "✓",
  "holds narrowly": "≈",
  fails: "✕",
  "cannot say": "?",
};

export function worstOf(checks: readonly Check[]): Verdict | null {
  const found = new Set(checks.filter(({ pending }) => !pending).map(({ verdict }) => verdict));
  return WORST_FIRST.find((verdict) => found.has(verdict)) ?? null;
}

export function capital(words: string): string {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

/** One check as a sentence, in the reader's units. */
export function sentence(check: Check): string {
  const where = check.part ? ` (${check.part})` : "";
  const bound = check.at_least ? "at least" : "at most";
  const demand = written(check.demand, check.shown, check.demand_text);
  const capacity = written(check.capacity, check.shown, check.capacity_text);
  return `${capital(check.title)}${where}: ${demand}, ${bound} ${capacity} wanted.`;
}
