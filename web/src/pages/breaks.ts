/** What breaks first: crashes on the computer, what they cost, a weak link, what to keep. */

import type { Crashed, CrashCase, LinkTry, Toll } from "../api/breaking";
import { askLine, newSheet, refuse, written } from "../bits/ask";
import { jobPress } from "../bits/jobs";
import { table } from "../bits/table";
import { chartBox } from "../charts/base";
import { firstChart } from "../charts/first";
import { type Child, h } from "../kit/dom";
import { crashed } from "../state/outcomes";
import { jobs } from "../state/study";
import { chance, kindWords, money, percent, reserve } from "../words/chances";
import { num, write } from "../words/units";
import { capital } from "../words/verdict";
import { FRAME } from "./asked";
import { ledger, type Page, section } from "./page";

const FASTEST = 30; // m/s; beyond it no crash is computed
const ASKED = newSheet("crash", {
  speed: "5 m/s",
  samples: "400",
  "weak-link": "",
  flying: "5 h",
  service: "90 %",
});

export const breaks: Page = {
  key: "breaks",
  question: "What breaks first",
  groups: [],
  body: () => [
    h(
      "p",
      { class: "lead" },
      "The frame is crashed on the computer many times in five ways. Which part goes before which is worth more here than any single figure.",
    ),
    ledger("A weak link in the frame itself", "frame", FRAME.weakness),
    wishes(),
    jobPress("crash", { options, refused: (problems) => refuse(ASKED, problems) }),
    () => stale(),
    () => (crashed() ? h("p", { class: "sentence found" }, inShort(crashed()!)) : null),
    chartBox(firstChart),
    () => (crashed() ? answers(crashed()!) : null),
  ],
};

function wishes(): HTMLElement {
  const links = [
    ["", "none"],
    ["arm", "the arm’s root, necked"],
    ["bolt", "a plastic shear bolt"],
    ["leg", "the leg"],
  ] as const;
  const lines = [
    { name: "speed", label: "speed of impact, about", example: "5 m/s" },
    { name: "weak-link", label: "weak link to try", choices: links },
    { name: "flying", label: "flown before more can be printed", example: "5 h" },
    { name: "service", label: "chance wanted that no spare is missing", example: "90 %" },
    { name: "samples", label: "crashes of each way", example: "400" },
  ];
  return h(
    "section",
    { class: "ledger" },
    h("h3", {}, "The crashes"),
    lines.map((each) => askLine(ASKED, { ...each, required: true })),
  );
}

function options(): Record<string, unknown> {
  const { samples, ...texts } = written(ASKED);
  const count = Number(samples ?? "");
  return { ...texts, samples: Number.isInteger(count) ? count : (samples ?? "") };
}

function stale(): Child {
  const done = jobs().find((job) => job.kind === "crash" && job.state === "done");
  return (
    crashed() &&
    done &&
    !done.current &&
    h("p", { class: "soft" }, "Of an earlier brief: crash it again for this one.")
  );
}

function inShort({ tolls, repair, hours_per_crash: hours }: Crashed): string {
  const first = tolls[0];
  if (!first?.first) return "Nothing breaks in any of these crashes.";
  return (
    `${kindWords(first.kind)} first, in ${chance(first.first, first.first_scatter)} of crashes. ` +
    `A crash costs ${write(repair.seconds, "h", 2)} of printing and ${money(repair.cost)} ` +
    `in filament and power on average; one comes in about ${hours.toFixed(hours < 10 ? 1 : 0)} h of flying.`
  );
}

function answers(found: Crashed): Child {
  return [
    section("How often, and what it costs", tollTable(found.tolls)),
    section("The order, way by way", caseTable(found.cases)),
    section("The weak link", weakLink(found)),
    section("What to keep printed", spares(found)),
  ];
}

function tollTable(tolls: readonly Toll[]): HTMLElement {
  const columns = [
    { head: "part" },
    { head: "breaks", number: true },
    { head: "goes first", number: true },
    { head: "printing", number: true },
    { head: "cost", number: true },
  ];
  const rows = tolls.map((toll) => ({
    keys: toll.keys,
    cells: [
      [kindWords(toll.kind), toll.copies > 0 && h("small", {}, ` ${copiesOf(toll)}`)],
      chance(toll.breaks, toll.breaks_scatter),
      chance(toll.first, toll.first_scatter),
      toll.seconds ? write(toll.seconds, "h", 2) : "–",
      money(toll.cost),
    ],
  }));
  const about =
    "Chance in a crash of any way, with the scatter of the number of crashes; printing and cost are the average toll of one crash, warm-up left out, cost in the currency of your prices";
  return table(about, columns, rows);
}

function copiesOf({ copies, keys }: Toll): string {
  const each = keys.length > 1 ? " of each" : "";
  return keys.length ? `${copies.toFixed(2)} copies${each} a crash` : "bought, not printed";
}

function caseTable(cases: readonly CrashCase[]): HTMLElement {
  const columns = [
    { head: "way to crash" },
    { head: "goes at" },
    { head: "dear parts spared", number: true },
    { head: "printing", number: true },
  ];
  const rows = cases.map((each) => ({
    cells: [
      [capital(each.title), h("small", {}, each.reason)],
      order(each),
      percent(each.spared),
      write(each.repair.seconds, "h", 2),
    ],
  }));
  return table(
    "The speed from which each kind would break, slowest first, by energy alone: blind to waves, so where it differs from the chart the chart is the better answer",
    columns,
    rows,
  );
}

function order({ energy }: CrashCase): Child {
  const reached = energy.order.filter(({ speed }) => num(speed) <= FASTEST);
  if (!reached.length) return `nothing below ${write(FASTEST, "m/s", 2)}`;
  return h(
    "ol",
    { class: "order" },
    reached.map(({ kind, speed }) =>
      h("li", {}, kindWords(kind), h("b", {}, ` ${write(num(speed), "m/s", 2)}`)),
    ),
  );
}

function weakLink({ link }: Crashed): Child {
  if (!link)
    return h(
      "p",
      { class: "empty" },
      "None was tried. Choose one above and crash it again: it is made weaker step by step until it spares the plates, mounts, tray and electronics or would fail in flight or landing.",
    );
  const columns = [
    { head: "strength", number: true },
    { head: "dear parts spared", number: true },
    { head: "goes first", number: true },
    { head: "reserve in flight", number: true },
    { head: "reserve in landing", number: true },
  ];
  const row = (each: LinkTry, k: number) => ({
    tone: k === link.chosen ? "strong" : each.flies ? "" : "faint",
    cells: [
      percent(each.scale),
      percent(each.spared),
      percent(each.link_first),
      margin(num(each.flight_margin)),
      margin(num(each.landing_margin)),
    ],
  });
  return [
    h("p", { class: "sentence" }, `${capital(link.title)}.`),
    h(
      "ul",
      { class: "notes" },
      link.words.slice(1).map((each) => h("li", {}, `${capital(each)}.`)),
    ),
    table(
      "Each strength tried, over the one as sized; the bold line spares most and still bears flight and landing",
      columns,
      link.tries.map(row),
    ),
  ];
}

function margin(value: number): HTMLElement {
  return h("span", { class: value >= 0 ? "good" : "bad" }, reserve(value));
}

function spares({ spares: found }: Crashed): Child {
  const columns = [
    { head: "part" },
    { head: "keep", number: true },
    { head: "each", number: true },
    { head: "printing, each", number: true },
    { head: "cost, each", number: true },
  ];
  const rows = found.rows.map((each) => ({
    keys: [each.key],
    cells: [
      capital(each.name),
      each.count,
      write(each.kg, "g"),
      write(each.seconds, "h", 2),
      money(each.cost),
    ],
  }));
  return [
    h("p", { class: "sentence" }, keepWords(found)),
    found.rows.length ? table("Printed ahead, so that a crash costs no wait", columns, rows) : null,
  ];
}

function keepWords(found: Crashed["spares"]): string {
  if (!found.rows.length) return "Nothing need be kept: what is wanted is reached without spares.";
  const short =
    found.service < found.wanted ? " More spares of these kinds do not help further." : "";
  return (
    `With these nothing is missing in ${percent(found.service)} of cases: ` +
    `${write(found.kg, "g")}, ${write(found.seconds, "h", 2)} of printing, ${money(found.cost)}, ` +
    `on ${found.plates} ${found.plates === 1 ? "plate" : "plates"}.${short}`
  );
}
