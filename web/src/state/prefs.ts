/** What this person likes to see; kept in the browser only. */

import { effect, type Signal, signal } from "../kit/signal";

export type Units = "metric" | "imperial";
export type Theme = "system" | "light" | "dark";

export const units = kept<Units>("units", "metric");
export const theme = kept<Theme>("theme", "system");
/** People who asked their system for less motion get still pictures. */
export const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;

const night = matchMedia("(prefers-color-scheme: dark)");
const systemDark = signal(night.matches);
night.addEventListener("change", () => systemDark.set(night.matches));

export function dark(): boolean {
  return theme() === "system" ? systemDark() : theme() === "dark";
}

export function followTheme(): void {
  effect(() => {
    document.documentElement.dataset["light"] = dark() ? "night" : "day";
  });
}

function kept<T extends string>(name: string, first: T): Signal<T> {
  const value = signal<T>((recall(name) as T | null) ?? first);
  effect(() => keep(name, value()));
  return value;
}

function recall(name: string): string | null {
  try {
    return localStorage.getItem(`refledge.${name}`);
  } catch {
    return null; // storage switched off: the choice lasts as long as the page
  }
}

function keep(name: string, value: string): void {
  try {
    localStorage.setItem(`refledge.${name}`, value);
  } catch {
    // as above
  }
}
