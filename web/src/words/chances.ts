/** Chances, kinds of part and money in words. */

import { capital } from "./verdict";

const KINDS: Record<string, string> = {
  arm: "Arm",
  plates: "Centre plates",
  leg: "Leg",
  mount: "Motor mount",
  tray: "Battery tray",
  electronics: "Flight controller",
};

export function kindWords(kind: string): string {
  return KINDS[kind] ?? capital(kind.replaceAll("_", " "));
}

/** A chance with its scatter, both in percent; the scatter says how many places are known. */
export function chance(share: number, scatter: number): string {
  const places = 100 * scatter < 0.95 ? 1 : 0;
  return `${(100 * share).toFixed(places)} ± ${(100 * scatter).toFixed(places)} %`;
}

export function percent(share: number): string {
  return `${(100 * share).toFixed(0)} %`;
}

/** Money in the currency of the prices, which has no name here. */
export function money(amount: number): string {
  return amount ? amount.toFixed(2) : "–";
}

/** A reserve in percent; tenfold and more says no more. */
export function reserve(margin: number): string {
  if (margin > 10) return "over 1000 %";
  const text = (100 * margin).toFixed(0);
  return `${margin >= 0 ? "+" : ""}${text.replace("-", "−")} %`;
}
