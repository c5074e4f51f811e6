/** The log: flights, crashes, prints, hours of each part, what keeps breaking; and this session. */

import { get } from "../api/client";
import type { LogEntry } from "../api/types";
import { entriesList, inShort, keepsBreaking, livesTable } from "../bits/logbook";
import { logForm } from "../bits/logform";
import { variantsPanel } from "../bits/variants";
import { chartBox } from "../charts/base";
import { hoursChart } from "../charts/hours";
import { measuredChart } from "../charts/measured";
import { type Child, h } from "../kit/dom";
import { effect, signal } from "../kit/signal";
import { logbook, readLog } from "../state/logbook";
import { measured } from "../state/outcomes";
import { brief, jobs } from "../state/study";
import { type Page, section } from "./page";

export const log: Page = {
  key: "log",
  question: "Log",
  groups: [],
  body: () => {
    void readLog();
    return [
      h("p", { class: "lead" }, () =>
        logbook()?.summary ? inShort(logbook()!.summary!) : nothingYet(),
      ),
      section("Write down what happened", logForm()),
      () => told(),
      chartBox(bench),
      section("Variants kept", variantsPanel()),
      session(),
    ];
  },
};

function nothingYet(): string {
  return "Nothing is logged yet. Log flights and crashes here (or with refledge log): spares, inspections and what breaks first learn from them.";
}

/** What the project's log says, once there is something in it. */
function told(): Child {
  const book = logbook();
  if (!book?.summary) return null;
  return [
    section("What keeps breaking", keepsBreaking(book.summary)),
    chartBox(hoursChart),
    section("Each copy", livesTable(book.summary.lives)),
    section("Every entry", entriesList(book)),
  ];
}

const bench = measuredChart(
  "Predicted against measured",
  "Measured",
  measured,
  "Nothing has been measured yet. Print the test pieces, load and tap them, and reduce the readings (refledge coupon, refledge reduce, refledge tap): predictions then stand beside what was found.",
);

function session(): HTMLElement {
  const entries = signal<LogEntry[] | null>(null);
  effect(() => {
    brief();
    jobs();
    void get<{ entries: LogEntry[] }>("/api/log")
      .then((said) => entries.set(said.entries))
      .catch(() => entries.set([]));
  });
  return h(
    "details",
    { class: "more" },
    h("summary", {}, "This session: edits, sizings, jobs"),
    () => lines(entries()),
  );
}

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
