/** Build it: bolts, order of motors, cautions, and the folder with every file. */

import { download, get, Refused } from "../api/client";
import type { Table } from "../api/types";
import { jobPress } from "../bits/jobs";
import { servedTable } from "../bits/table";
import { h } from "../kit/dom";
import { signal } from "../kit/signal";
import { trouble } from "../state/edits";
import { brief, jobs, tables } from "../state/study";
import { type Page, section } from "./page";

const CAUTIONS = [
  "Propellers off whenever something is powered on the bench.",
  "Proof-load every arm before the first flight and after every crash: printed parts vary.",
  "Shield and distance for thrust tests, and a way to cut the power without reaching over them.",
  "Watch lithium packs while they charge; a swollen or dented one is not flown again.",
  "Fibre-filled plastics shed dust when sanded: wet it, wear a mask, air the room.",
  "Where and over whom you may fly is for the rules of the place. These figures are estimates, not a finding of airworthiness.",
];

export const build: Page = {
  key: "build",
  question: "Build it",
  groups: [],
  body: () => [
    h(
      "p",
      { class: "lead" },
      "One folder holds it all: parts to print, the assembly, flat drawings, tables, and a report to read at the bench.",
    ),
    jobPress("build"),
    () => folder(),
    section("Bolts and inserts", () => served("bolts", "Where each goes and how tight")),
    section("Motors", () => served("motors", "Order, place and way of turning")),
    section(
      "Before you power anything",
      h(
        "ul",
        { class: "notes" },
        CAUTIONS.map((each) => h("li", {}, each)),
      ),
    ),
  ],
};

function folder(): HTMLElement | null {
  const done = jobs().find((job) => job.kind === "build" && job.state === "done");
  if (!done) return null;
  const name = `${(brief()?.title ?? "build").toLowerCase().replace(/[^a-z0-9]+/g, "-")}.zip`;
  const fetchIt = (): void => {
    void download("/api/build.zip", name).catch((error: unknown) => {
      if (!(error instanceof Refused)) throw error;
      trouble.set(error.message);
    });
  };
  const old = done.current ? "" : " It is of an earlier brief: write it again for this one.";
  const report = signal("");
  void get<{ report?: string }>(`/api/jobs/${encodeURIComponent(done.id)}/result`)
    .then((found) => report.set(found.report ?? ""))
    .catch(() => report.set(""));
  return h(
    "p",
    { class: "take" },
    h("button", { type: "button", class: "act", onclick: fetchIt }, "Download the build"),
    () =>
      report() && h("a", { href: report(), target: "_blank", rel: "noopener" }, "Read the report"),
    old,
  );
}

function served(name: string, caption: string): HTMLElement {
  const found = tables().get(name);
  return found
    ? servedTable(caption, untorqued(found), ["where", "note"])
    : h("p", { class: "empty" }, "Comes with the first sizing.");
}

/** A fastener that is only to be snug has no torque; nought would read as loose. */
function untorqued(given: Table): Table {
  const at = given.columns.findIndex(({ name }) => name === "torque");
  const rows = given.rows.map((row) => row.map((cell, k) => (k === at && cell === 0 ? "–" : cell)));
  return { ...given, rows };
}
