/** Keys of the whole page, and the slip that lists them. */

import { h } from "../kit/dom";
import { PAGES } from "../pages/all";
import { enlarged } from "../charts/base";
import { redo, undo } from "../state/edits";
import { pick } from "../state/picked";
import { apart, arrows, cutAxis, discs, measuring, plain } from "../state/picture";
import { go, place } from "../state/place";
import { batch } from "../kit/signal";

const KEYS: readonly [string, string, (() => void) | null][] = [
  ["1 to 9, 0, -", "the questions in their order", null],
  ["j, k", "next and previous question", null],
  ["Ctrl Z, Ctrl Shift Z", "undo, redo", null],
  ["↑ ↓ in a value", "step it; with Shift ten steps", null],
  ["Enter, Esc in a value", "write it, take it back", null],
  [
    "v",
    "the verdict's worst check",
    () => document.querySelector<HTMLElement>(".driver .figure")?.click(),
  ],
  ["e", "explode the picture, put it together", () => apart.set(apart.peek() > 0.5 ? 0 : 1)],
  ["c", "cut it: along, across, level, whole", nextCut],
  ["m", "measure between two points", () => measuring.set(!measuring.peek())],
  ["l", "load arrows", () => arrows.set(!arrows.peek())],
  ["d", "propeller discs", () => discs.set(!discs.peek())],
  ["Esc", "let go of everything picked", null],
  ["?", "this list", openKeys],
];

/** The upper row of a keyboard: a key for each question. */
const ROW = "1234567890-";

function nextCut(): void {
  const order = ["left", "nose", "up", null] as const;
  cutAxis.set(order[(order.indexOf(cutAxis.peek()) + 1) % order.length]!);
}

const list = h(
  "dialog",
  { class: "keys", "aria-label": "Keys" },
  h("h2", {}, "Keys"),
  h(
    "dl",
    {},
    KEYS.map(([key, about]) => [h("dt", {}, key), h("dd", {}, about)]),
  ),
  h("form", { method: "dialog" }, h("button", { class: "act" }, "Close")),
);

export function keysDialog(): HTMLElement {
  return list;
}

export function openKeys(): void {
  if (!list.open) list.showModal();
}

export function followKeys(): void {
  document.addEventListener("keydown", (event) => {
    const at = event.target as HTMLElement;
    const writing = at.matches("input, select, textarea");
    if (
      (event.ctrlKey || event.metaKey) &&
      event.key.toLowerCase() === "z" &&
      !(writing && changed(at))
    ) {
      event.preventDefault();
      void (event.shiftKey ? redo() : undo());
      return;
    }
    if (
      writing ||
      event.ctrlKey ||
      event.metaKey ||
      event.altKey ||
      document.querySelector("dialog[open]")
    )
      return;
    if (act(event.key)) event.preventDefault();
  });
}

/** Text that has been typed and not written yet is the browser's own to undo. */
function changed(at: HTMLElement): boolean {
  return at instanceof HTMLInputElement && at.dataset["typed"] === "yes";
}

function act(key: string): boolean {
  if (key === "Escape") {
    batch(() => {
      pick([]);
      plain();
      measuring.set(false);
      enlarged.set(null);
    });
    return false; // the browser's own Escape closes slips and dialogs
  }
  const now = PAGES.findIndex((page) => page.key === place.peek());
  const number =
    key === "j" ? now + 1 : key === "k" ? now - 1 : key.length === 1 ? ROW.indexOf(key) : -1;
  if (PAGES[number]) {
    go(PAGES[number]!.key);
    return true;
  }
  const found = KEYS.find(([name, , does]) => does && name === key);
  found?.[2]?.();
  return Boolean(found);
}
