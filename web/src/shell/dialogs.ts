/** Where the page must ask: the file was changed by another program; something was refused. */

import { h } from "../kit/dom";
import { effect } from "../kit/signal";
import { conflict, resolve, trouble } from "../state/edits";
import { differing } from "../words/differing";

export function conflictDialog(): HTMLElement {
  const dialog = h(
    "dialog",
    { class: "conflict", "aria-labelledby": "conflict-title" },
    h("h2", { id: "conflict-title" }, "The file was changed meanwhile"),
    h(
      "p",
      {},
      "Another program wrote the brief while it was open here. Nothing has been overwritten. Which is right?",
    ),
    () => lines(),
    h(
      "div",
      { class: "choices" },
      h(
        "button",
        { type: "button", class: "act", onclick: () => void resolve("theirs") },
        "Take the file",
      ),
      h(
        "button",
        { type: "button", class: "act", onclick: () => void resolve("mine") },
        "Keep what is here",
      ),
    ),
    h("p", { class: "soft" }, "Either can be undone."),
  );
  dialog.addEventListener("cancel", (event) => event.preventDefault());
  effect(() => {
    if (conflict() && !dialog.open) dialog.showModal();
    if (!conflict() && dialog.open) dialog.close();
  });
  return dialog;
}

function lines(): HTMLElement | null {
  const found = conflict();
  if (!found) return null;
  const rows = differing(found.mine, found.theirs);
  const side = (name: string, of: (row: { mine: string; theirs: string }) => string): HTMLElement =>
    h(
      "div",
      {},
      h("h3", {}, name),
      h(
        "pre",
        { tabindex: 0, "aria-label": name },
        rows
          .map((row) => of(row))
          .filter(Boolean)
          .join("\n") || "(nothing)",
      ),
    );
  return h(
    "div",
    { class: "sides" },
    side("Here", ({ mine }) => mine),
    side("In the file", ({ theirs }) => theirs),
  );
}

export function troubleLine(): HTMLElement {
  return h(
    "p",
    { class: "trouble", role: "alert", hidden: () => !trouble() },
    () => trouble(),
    h("button", { type: "button", class: "quiet", onclick: () => trouble.set("") }, "Close"),
  );
}
