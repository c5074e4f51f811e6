/** What the project's log says: sums, what keeps breaking, hours of each part, every entry. */

import type { LoggedPart, Logbook, PartLife, Summary } from "../api/breaking";
import { type Child, h } from "../kit/dom";
import { signal } from "../kit/signal";
import { writeLog } from "../state/logbook";
import { kindWords } from "../words/chances";
import { digits, write } from "../words/units";
import { capital } from "../words/verdict";
import { table } from "./table";

const KINDS: Record<string, string> = {
  flight: "flights",
  crash: "crashes",
  damage: "damage",
  repair: "repairs",
  print: "prints",
  fitted: "put on",
  removed: "taken off",
  inspected: "looked at",
  struck: "struck out",
};
const hours = (seconds: number): string => write(seconds, "h", 2);
const many = (count: number, one: string): string =>
  `${count} ${count === 1 ? one : one === "crash" ? "crashes" : `${one}s`}`;

export function inShort(found: Summary): string {
  const { mean, low_5: low, high_95: high } = found.crashes_per_s;
  const per = (rate: number): string => digits(1 / rate / 3600, 2);
  const failed = found.failed_prints ? `, ${found.failed_prints} of them failed` : "";
  return (
    `${many(found.flights, "flight")}, ${hours(found.flown_s)} in the air; ` +
    `${many(found.crashes, "crash")}; ${many(found.prints, "print")}${failed}. ` +
    `One crash in about ${per(mean)} h (nine in ten sure: ${per(high)} to ${per(low)} h).`
  );
}

/** Kinds of part: what broke, what wore, when to look. */
export function keepsBreaking(found: Summary): Child {
  const advice = found.advice.length ? found.advice : ["Nothing stands out yet."];
  const columns = [
    { head: "part" },
    { head: "aboard", number: true },
    { head: "broken", number: true },
    { head: "worn", number: true },
    { head: "look at", number: true },
    { head: "retire", number: true },
  ];
  const row = (each: LoggedPart) => ({
    keys: [each.part],
    cells: [
      kindWords(each.part),
      each.flying,
      each.broken_in_crashes,
      each.worn,
      hours(each.look_s),
      hours(each.retire_s),
    ],
  });
  const ranked = [...found.parts].sort((a, b) => b.broken_in_crashes - a.broken_in_crashes);
  const about =
    "Broken: in crashes. Look at and retire: flown hours at which a new copy has failed with a chance of 5 % and of 20 %";
  return [
    h(
      "ul",
      { class: "notes" },
      advice.map((each) => h("li", {}, each)),
    ),
    ranked.length ? table(about, columns, ranked.map(row)) : null,
  ];
}

/** Copies with a serial: hours flown and what became of them. */
export function livesTable(lives: readonly PartLife[]): HTMLElement {
  if (!lives.length)
    return h(
      "p",
      { class: "empty" },
      "No part has a serial yet. Write one on each printed copy and put it on above: its hours count from then.",
    );
  const columns = [
    { head: "copy" },
    { head: "flown", number: true },
    { head: "flights", number: true },
    { head: "crashes", number: true },
    { head: "now" },
  ];
  const aboardFirst = [...lives].sort(
    (a, b) => Number(Boolean(a.removed)) - Number(Boolean(b.removed)) || b.seconds - a.seconds,
  );
  const rows = aboardFirst.map((life) => ({
    keys: [life.part],
    tone: life.removed ? "faint" : "",
    cells: [
      [
        `${life.serial} `,
        h("small", {}, [kindWords(life.part), life.place].filter(Boolean).join(", ")),
      ],
      hours(life.seconds),
      life.flights,
      life.crashes,
      fate(life),
    ],
  }));
  return table("Copies with a serial, those aboard first", columns, rows);
}

function fate(life: PartLife): string {
  if (life.removed) {
    const why = { crash: "broken", wear: "worn", sound: "sound" }[life.why] ?? life.why;
    return `off, ${why}`;
  }
  return life.inspected ? `aboard, seen at ${hours(life.inspected)}` : "aboard";
}

const shown = signal("");
const striking = signal<number | null>(null);

/** Every entry, newest first; kinds to choose from; a wrong one can be struck out. */
export function entriesList(book: Logbook): Child {
  const kinds = Object.keys(KINDS).filter((each) => book.entries.some(({ kind }) => kind === each));
  const press = (kind: string, words: string): HTMLElement =>
    h(
      "button",
      {
        type: "button",
        "aria-pressed": () => String(shown() === kind),
        onclick: () => shown.set(kind),
      },
      words,
    );
  return [
    h(
      "div",
      { class: "choices" },
      press("", "all"),
      kinds.map((k) => press(k, KINDS[k] ?? k)),
    ),
    h("ol", { class: "log entries" }, () =>
      book.entries.filter(({ kind }) => !shown() || kind === shown()).map(entryLine),
    ),
  ];
}

function entryLine(each: Logbook["entries"][number]): HTMLElement {
  const out = each.struck !== null;
  const canStrike = !out && each.kind !== "struck";
  return h(
    "li",
    { class: out ? "out" : "", "data-entry": each.number },
    h("time", { datetime: each.date }, each.date.replace("T", " ")),
    h(
      "span",
      {},
      h("b", {}, `${each.number} `),
      h(
        "span",
        { class: "entry-text" },
        KINDS_ONE[each.kind] ? `${KINDS_ONE[each.kind]}: ${each.text}` : capital(each.text),
      ),
      out && h("small", {}, ` struck out: ${each.struck}`),
    ),
    canStrike &&
      h(
        "button",
        {
          type: "button",
          class: "quiet",
          "aria-label": `Strike out entry ${each.number}`,
          "aria-expanded": () => String(striking() === each.number),
          onclick: () => striking.set(striking.peek() === each.number ? null : each.number),
        },
        "Strike out",
      ),
    () => (striking() === each.number ? strikeForm(each.number) : null),
  );
}

/** Kinds whose words do not say by themselves what happened. */
const KINDS_ONE: Record<string, string> = {
  flight: "Flight",
  crash: "Crash",
  repair: "Repair",
  print: "Print",
};

function strikeForm(number: number): HTMLElement {
  const wrong = signal("");
  const why = h("input", { type: "text", "aria-label": "What was wrong with it" });
  why.placeholder = "what was wrong with it";
  const send = (event: Event): void => {
    event.preventDefault();
    void writeLog("strike", { number: String(number), why: why.value }).then((found) => {
      if (found.said) striking.set(null);
      else wrong.set(found.message);
    });
  };
  queueMicrotask(() => why.focus());
  return h(
    "form",
    { class: "adder", onsubmit: send },
    why,
    h("button", { type: "submit" }, "Strike out"),
    h("p", { class: "refused", role: "alert" }, () => wrong()),
  );
}
