/** The ruler under the verdict: every check a tick at the share of its limit that it uses. */

import type { UseBar } from "../api/types";
import { h } from "../kit/dom";
import { effect, signal } from "../kit/signal";
import { openCheck } from "../state/picked";
import { charts } from "../state/study";
import { digits, num } from "../words/units";
import { capital, TONE, WORST_FIRST } from "../words/verdict";

const MOST = 1.25; // share of the limit at the right end; what uses more stands there

export function ruler(go: (check: string) => void): HTMLElement {
  const under = signal<UseBar | null>(null);
  const rail = h("div", { class: "rail" });
  const ticks = new Map<string, HTMLElement>();
  effect(() => place(rail, ticks, charts()?.use ?? [], under, go));
  effect(() => {
    for (const [id, tick] of ticks) tick.classList.toggle("open", id === openCheck());
  });
  return h(
    "div",
    { class: "ruler", role: "img", "aria-label": () => inWords(charts()?.use ?? []) },
    h("div", { class: "beyond" }),
    rail,
    scale(),
    h("output", { class: "tick-name", hidden: () => !under(), "--at": () => at(under()) }, () =>
      nameOf(under()),
    ),
  );
}

function scale(): HTMLElement {
  const marks = [0, 0.25, 0.5, 0.75, 1].map((share) =>
    h(
      "span",
      { class: share === 1 ? "limit" : "", "--at": `${(100 * share) / MOST}%` },
      share === 1 ? "limit" : `${100 * share} %`,
    ),
  );
  return h(
    "div",
    { class: "scale" },
    marks,
    h("span", { class: "about" }, "share of its limit that each check uses"),
  );
}

function at(bar: UseBar | null): string {
  if (!bar) return "0%";
  const use = num(bar.use);
  const none = bar.verdict === "holds" ? 0 : MOST; // a question without a number stands at an end
  const held = Number.isFinite(use) ? Math.min(MOST, Math.max(0, use)) : none;
  return `${(100 * held) / MOST}%`;
}

function nameOf(bar: UseBar | null): string {
  if (!bar) return "";
  const share = Number.isFinite(num(bar.use)) ? `${digits(100 * num(bar.use))} %, ` : "";
  return `${capital(bar.label)}${bar.part ? `, ${bar.part}` : ""}: ${share}${bar.verdict}`;
}

/** Ticks are kept from one result to the next, so that they slide. */
function place(
  rail: HTMLElement,
  ticks: Map<string, HTMLElement>,
  bars: readonly UseBar[],
  under: { set(bar: UseBar | null): void },
  go: (check: string) => void,
): void {
  const gone = new Set(ticks.keys());
  for (const bar of bars) {
    gone.delete(bar.id);
    const tick = ticks.get(bar.id) ?? h("i", { "data-check": bar.id });
    ticks.set(bar.id, tick);
    tick.className = `tick ${TONE[bar.verdict]}${bar.pending ? " pending" : ""}`;
    tick.style.setProperty("--at", at(bar));
    tick.onpointerenter = () => under.set(bar);
    tick.onpointerleave = () => under.set(null);
    tick.onclick = () => go(bar.id);
    if (!tick.isConnected) rail.append(tick);
  }
  for (const id of gone) {
    ticks.get(id)?.remove();
    ticks.delete(id);
  }
}

function inWords(bars: readonly UseBar[]): string {
  const counts = WORST_FIRST.map((verdict) => {
    const number = bars.filter((bar) => bar.verdict === verdict).length;
    return number ? `${number} ${verdict}` : "";
  });
  return `${bars.length} checks by the share of their limit used: ${counts.filter(Boolean).join(", ")}`;
}
