/** The log: what was changed, when, and the variants that were kept. */

import { get } from "../api/client";
import type { LogEntry } from "../api/types";
import { h } from "../kit/dom";
import { chartBox } from "../charts/base";
import { measuredChart } from "../charts/measured";
import { measured } from "../state/outcomes";
import { effect, signal } from "../kit/signal";
import { brief, jobs } from "../state/study";
import { variantsPanel } from "../bits/variants";
import { type Page, section } from "./page";

export const log: Page = {
  key: "log",
  question: "Log",
  groups: [],
  body: () => {
    const entries = signal<LogEntry[] | null>(null);
    effect(() => {
      brief();
      jobs();
      void get<{ entries: LogEntry[] }>("/api/log")
        .then((said) => entries.set(said.entries))
        .catch(() => entries.set([]));
    });
    return [
      section("Variants kept", variantsPanel()),
      chartBox(bench),
      section("What happened", () => lines(entries())),
    ];
  },
};

const bench = measuredChart(
  "Predicted against measured",
  "Measured",
  measured,
  "Nothing has been measured yet. Print the test pieces, load and tap them, and reduce the readings (refledge coupon, refledge reduce, refledge tap): predictions then stand beside what was found.",
);

function lines(entries: readonly LogEntry[] | null): HTMLElement {
  if (!entries) return h("p", { class: "empty" }, "Reading the log…");
  if (!entries.length)
    return h(
      "p",
      { class: "empty" },
      "Nothing yet. Every edit, sizing and conflict is written here with its time.",
    );
  return h(
    "ol",
    { class: "log" },
    entries.map(({ time, text }) =>
      h("li", {}, h("time", { datetime: time }, clock(time)), h("span", {}, text)),
    ),
  );
}

function clock(time: string): string {
  const when = new Date(time);
  return Number.isNaN(when.getTime())
    ? time
    : when.toLocaleString(undefined, { dateStyle: "short", timeStyle: "medium" });
}
