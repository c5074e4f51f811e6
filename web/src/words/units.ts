/** Figures in the units that the reader chose; metric texts come from the server as they are. */

import type { Num } from "../api/types";
import { units } from "../state/prefs";

interface Way {
  to: string;
  of(si: number): number;
}

const by = (factor: number, to: string): Way => ({ to, of: (si) => si / factor });

// Exact by definition (NIST SP 811, appendix B): inch 25.4 mm, pound 0.45359237 kg, standard gravity
// 9.80665 m/s2; the others follow from these.
const INCH = 0.0254;
const POUND = 0.45359237;
const POUND_FORCE = POUND * 9.80665;

const IMPERIAL: Record<string, Way> = {
  mm: by(INCH, "in"),
  cm: by(INCH, "in"),
  m: by(12 * INCH, "ft"),
  g: by(POUND / 16, "oz"),
  kg: by(POUND, "lb"),
  N: by(POUND_FORCE, "lbf"),
  "N*m": by(POUND_FORCE * INCH, "lbf in"),
  MPa: by((1e3 * POUND_FORCE) / INCH ** 2, "ksi"),
  GPa: by((1e6 * POUND_FORCE) / INCH ** 2, "Msi"),
  "m/s": by(1609.344 / 3600, "mph"),
  "mm/s": by(INCH, "in/s"),
  "m/s^2": by(12 * INCH, "ft/s²"),
  degC: { to: "°F", of: (si) => (si - 273.15) * 1.8 + 32 },
  K: { to: "°F", of: (si) => si * 1.8 },
};

const METRIC: Record<string, Way> = {
  mm: by(1e-3, "mm"),
  m: by(1, "m"),
  g: by(1e-3, "g"),
  kg: by(1, "kg"),
  N: by(1, "N"),
  Hz: by(1, "Hz"),
  W: by(1, "W"),
  min: by(60, "min"),
  h: by(3600, "h"),
  "m/s": by(1, "m/s"),
  deg: by(Math.PI / 180, "°"),
  "%": by(0.01, "%"),
  "m/s^2": by(1, "m/s²"),
};

/** A figure whose metric text the server wrote. */
export function written(value: Num, shown: string, text: string): string {
  const way = units() === "imperial" ? IMPERIAL[shown] : undefined;
  return way && typeof value === "number" ? joined(digits(way.of(value)), way.to) : text;
}

/** A figure that has no text yet, from SI. */
export function write(si: number, shown: string, places = 3): string {
  const way = wayOf(shown);
  return joined(digits(way.of(si), places), way.to);
}

/** For axes: the number alone, and its unit. */
export function scaled(si: number, shown: string): number {
  return wayOf(shown).of(si);
}

export function unitOf(shown: string): string {
  return wayOf(shown).to;
}

/** SI of one of each unit in which the tables of a build have their numbers. */
const ONE: Record<string, number> = { mm: 1e-3, m: 1, g: 1e-3, kg: 1, N: 1, "N*m": 1, MPa: 1e6 };

/** How a column of such a table is read by whoever has chosen other units; null: as it stands. */
export function column(unit: string): Way | null {
  const [way, one] = [IMPERIAL[unit], ONE[unit]];
  if (units() !== "imperial" || !way || one === undefined) return null;
  return { to: way.to, of: (value) => way.of(value * one) };
}

function wayOf(shown: string): Way {
  const imperial = units() === "imperial" ? IMPERIAL[shown] : undefined;
  return imperial ?? METRIC[shown] ?? by(1, shown === "1" ? "" : shown);
}

function joined(number: string, unit: string): string {
  return unit === "°" ? `${number}°` : unit ? `${number} ${unit}` : number;
}

/** Significant figures as `refledge.units.figure` writes them, so that page and command line agree. */
export function digits(value: number, places = 3): string {
  if (!Number.isFinite(value)) return value > 0 ? "unlimited" : "none";
  if (value === 0) return "0";
  const rounded = Number(value.toPrecision(places));
  const magnitude = Math.floor(Math.log10(Math.abs(rounded)));
  if (magnitude > 6 || magnitude < -4)
    return value.toExponential(places - 1).replace(/e([+-])(\d)$/, "e$10$2");
  return value.toFixed(Math.max(0, places - 1 - magnitude)).replace("-", "−");
}

export function num(value: Num): number {
  if (typeof value === "number") return value;
  if (value === null) return NaN;
  return value === "inf" ? Infinity : value === "-inf" ? -Infinity : NaN;
}
