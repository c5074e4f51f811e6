/** The arm: its section, set by hand or sized, and what holds each dimension where it is. */

import { chartBox } from "../charts/base";
import { alternativesChart } from "../charts/alternatives";
import { dimensionLine } from "../bits/field";
import { figure } from "../bits/figure";
import { table } from "../bits/table";
import { h } from "../kit/dom";
import { derived, untracked } from "../kit/signal";
import { answered } from "../state/edits";
import { patch } from "../api/client";
import type { Edited } from "../api/types";
import { brief, results } from "../state/study";
import { grownArm } from "../bits/grown";
import { written } from "../words/units";
import { capital } from "../words/verdict";
import { FRAME } from "./asked";
import { ledger, noFrame, ofLastSizing, type Page, section } from "./page";

export const arm: Page = {
  key: "arm",
  question: "The arm",
  groups: ["stiffness"],
  body: () => [
    h("p", { class: "lead" }, () =>
      results()?.figures.length
        ? [
            "Clamped at its root, the arm rings first at ",
            figure("first_mode_arm"),
            "; at full thrust its motor tilts ",
            figure("motor_tilt"),
            ".",
          ]
        : noFrame(),
    ),
    ledger("Asked for", "frame", FRAME.arm),
    byHand("Its dimensions", (part) => part.startsWith("arm")),
    section("What holds each dimension where it is", ofLastSizing("drivers"), () => drivers()),
    unlessGrown(() => chartBox(alternativesChart)),
    grownArm(),
  ],
};

/** Dimensions that can be set by hand, with one press that gives them all back. */
export function byHand(title: string, of: (part: string) => boolean): HTMLElement {
  const wanted = () => (brief()?.dimensions ?? []).filter(({ part }) => of(part));
  const paths = derived(() =>
    wanted()
      .map(({ path }) => path)
      .join(),
  );
  const changed = derived(() => (brief()?.dimensions ?? []).some(({ by_hand: set }) => set));
  const clear = (): void => void answered(() => patch<Edited>("/api/dimensions", { clear: true }));
  return h(
    "section",
    { class: "ledger hand" },
    h("h3", {}, title),
    () => (paths() ? untracked(wanted).map(dimensionLine) : noneByHand()),
    () =>
      changed() &&
      h(
        "button",
        { type: "button", class: "quiet", onclick: clear },
        "Give all dimensions back to the sizing",
      ),
  );
}

/** Whether every arm is a grown one that was kept. */
function isGrown(): boolean {
  const fields = brief()?.groups.find(({ path }) => path === "frame")?.fields ?? [];
  return Boolean(fields.find(({ name }) => name === "grown_arm")?.text);
}

/** What only drawn arms have. */
function unlessGrown(made: () => HTMLElement): () => HTMLElement | null {
  const kept = derived(isGrown);
  return () => (kept() ? null : untracked(made));
}

function noneByHand(): HTMLElement {
  const words = isGrown()
    ? "A grown arm keeps its shape: grow it anew for another."
    : "Known after a sizing.";
  return h("p", { class: "empty" }, words);
}

function drivers(): HTMLElement {
  const list = results()?.drivers ?? [];
  if (!list.length) return h("p", { class: "empty" }, "Known after a sizing.");
  const columns = [
    { head: "dimension" },
    { head: "now", number: true },
    { head: "held by" },
    { head: "10 % more room saves", number: true },
  ];
  const rows = list.map((each) => ({
    cells: [
      capital(each.dimension),
      written(each.value, "mm", each.text),
      each.check,
      each.saved ? written(each.saved, "g", each.saved_text) : "–",
    ],
  }));
  return table(
    "One step smaller would fail what is named, or nothing would be gained",
    columns,
    rows,
  );
}
