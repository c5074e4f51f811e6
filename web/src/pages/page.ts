/** What a page is: one question of the job, and how it is answered. */

import type { Child } from "../kit/dom";
import { h } from "../kit/dom";
import { brief, results } from "../state/study";
import { groupLines, type Wanted } from "../bits/field";
import { derived } from "../kit/signal";

export interface Page {
  key: string;
  question: string;
  /** Groups of checks whose worst verdict marks the question in the strip. */
  groups: readonly string[];
  body: () => Child;
}

/** A part of a page under a small heading. */
export function section(title: string, ...children: Child[]): HTMLElement {
  return h("section", {}, h("h3", {}, title), ...children);
}

/** Lines of groups of the brief; drawn anew only when items come or go. */
export function ledger(title: string, path: string, wanted?: Wanted): HTMLElement {
  const paths = derived(() => {
    const group = brief()?.groups.find((each) => each.path === path);
    return group?.fields.map((field) => field.path).join() ?? "";
  });
  return h("section", { class: "ledger", hidden: () => !paths() }, h("h3", {}, title), () => {
    paths();
    return groupLines(path, wanted);
  });
}

/** Lines that few people change, folded away. */
export function folded(title: string, path: string, wanted?: Wanted): HTMLElement {
  return h("details", { class: "more" }, h("summary", {}, title), ledger(title, path, wanted));
}

/** Said beside what an edit has not worked out again: it speaks of the frame's last sizing. */
export function ofLastSizing(what: string): Child {
  return () =>
    results()?.stale.includes(what) &&
    h("p", { class: "soft" }, "As of the last sizing; worked out again when the next one ends.");
}

export function noFrame(): Child {
  const why = results()?.why_not;
  return h(
    "p",
    { class: "empty" },
    why
      ? `There is no frame for this brief: ${why} Change what it names, or undo.`
      : "No frame has been sized yet. Press “Size the frame” in the strip of jobs.",
  );
}
