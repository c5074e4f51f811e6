/** The arm grown by topology optimisation: what is asked, how it grows, what came of it. */

import { bytes, Refused } from "../api/client";
import { type Child, h } from "../kit/dom";
import { derived } from "../kit/signal";
import { type Grown, grown, type Texts } from "../state/outcomes";
import { edit } from "../state/edits";
import { jobs } from "../state/study";
import { capital } from "../words/verdict";
import { askLine, newSheet, refuse, written } from "./ask";
import { jobPress, moving } from "./jobs";
import { table } from "./table";

const ASKED = newSheet("grown", { voxel: "1.5 mm", iterations: "30", solved: "no" });
const SOLVED = [
  ["no", "no"],
  ["yes", "yes, until it holds: some minutes a round"],
] as const;
const EVERY = 5; // steps from one picture to the next
const LONG = 16; // characters from which a text is no figure: our choice

export function grownArm(): HTMLElement {
  return h(
    "section",
    { class: "ledger grown" },
    h("h3", {}, "Grown instead of drawn"),
    [
      { name: "voxel", label: "edge of a cube", example: "1.5 mm" },
      { name: "iterations", label: "design steps", example: "30" },
    ].map((each) => askLine(ASKED, { ...each, required: true })),
    askLine(ASKED, {
      name: "solved",
      label: "solve it as printed, for the airframe",
      choices: SOLVED,
    }),
    jobPress("shape", {
      options: () => written(ASKED),
      refused: (problems) => refuse(ASKED, problems),
    }),
    growing(),
    () => (grown() ? outcome(grown()!) : null),
  );
}

/** The picture of now, asked for anew every few steps. */
function growing(): () => HTMLElement | null {
  const round = derived(() => {
    const job = jobs().find((each) => each.kind === "shape");
    const step = /step (\d+)/.exec(job && moving(job) ? job.what : "");
    return step && Number(step[1]) >= EVERY ? Math.floor(Number(step[1]) / EVERY) : 0;
  });
  const words = "From the side, root at the left: the darker, the more plastic.";
  return () => (round() ? pictured("growing.png", "The arm as it grows", words) : null);
}

/** A picture of the server's, which needs the page's token, under its words. */
function pictured(name: string, alt: string, words: string): HTMLElement {
  const image = h("img", { alt });
  void bytes(`/api/grown/${name}`).then(
    (data) => {
      const address = URL.createObjectURL(new Blob([data], { type: "image/png" }));
      image.addEventListener("load", () => URL.revokeObjectURL(address), { once: true });
      image.src = address;
    },
    (error) => {
      if (!(error instanceof Refused)) throw error;
      image.alt = `${alt}: ${error.message}`;
    },
  );
  return h("figure", {}, image, h("figcaption", {}, words));
}

/** What may follow: the airframe takes the arm, or why it cannot. */
function taking({ record, grounded }: Grown): HTMLElement {
  if (grounded) return h("p", { class: "soft" }, `The airframe cannot take this arm: ${grounded}.`);
  if (!record) {
    const words = "The airframe keeps its present arm. Solved as printed, it could take this one.";
    return h("p", { class: "soft" }, words);
  }
  const take = (): void =>
    void edit([
      { path: "frame.grown_arm", value: record },
      { path: "frame.arm_family", value: null },
    ]);
  return h(
    "p",
    {},
    h("button", { type: "button", class: "act", onclick: take }, "Give the airframe this arm"),
    h("small", {}, ` writes ${record} into the brief, under frame.grown_arm; then size again`),
  );
}

/** The airframe sized round it beside the one with drawn arms, and the rounds that it took. */
function airframes({ verdict, open, frames, rounds }: Grown): (HTMLElement | null)[] {
  return [
    frames && texts("Whole airframes, each sized round its arms", frames),
    verdict ? h("p", {}, verdict) : null,
    open.length
      ? texts("Checks that do not hold", {
          heads: ["check", "grown arms", "drawn arms"],
          rows: open,
        })
      : null,
    rounds && texts("Rounds", rounds),
    rounds && h("p", { class: "soft" }, rounds.words),
  ];
}

/** A table of the server's texts: figures at the right, longer words small and free to wrap. */
function texts(caption: string, { heads, rows }: Texts): HTMLElement {
  const columns = heads.map((head, k) => ({ head, number: k > 0 }));
  const cell = (text: string): Child => (text.length < LONG ? text : h("small", {}, text));
  return table(
    caption,
    columns,
    rows.map(([name, ...rest]) => ({ cells: [capital(name ?? ""), ...rest.map(cell)] })),
  );
}

function outcome(found: Grown): (HTMLElement | null)[] {
  const { rows, remarks, steps, files } = found;
  const columns = [
    { head: "figure" },
    { head: "present arm", number: true },
    { head: "grown arm", number: true },
    { head: "change", number: true },
  ];
  const cells = rows.map((row) => ({
    cells: [capital(row.figure), row.present, row.grown, row.change],
  }));
  return [
    pictured(
      "grown-below.png",
      "The grown arm from below",
      `The grown arm from below, after ${steps} steps.`,
    ),
    table("Both arms on the same cubes of solid plastic, under the same loads", columns, cells),
    h(
      "ul",
      { class: "remarks" },
      remarks.map((each) => h("li", {}, capital(each))),
    ),
    ...airframes(found),
    h("p", { class: "soft" }, `Written beside the builds: ${files.join(", ")}.`),
    taking(found),
  ];
}
