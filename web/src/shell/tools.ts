/** Presses at the head: undo, redo, units, light, keys. */

import { h } from "../kit/dom";
import { redo, undo } from "../state/edits";
import { dark, theme, units } from "../state/prefs";
import { brief, busy, file, linked } from "../state/study";
import { standing } from "./answer";
import { openKeys } from "./keys";

export function tools(): HTMLElement {
  return h(
    "div",
    { class: "tools", role: "toolbar", "aria-label": "Workbench" },
    press(
      "Undo",
      () => brief()?.undo,
      () => void undo(),
    ),
    press(
      "Redo",
      () => brief()?.redo,
      () => void redo(),
    ),
    h(
      "button",
      {
        type: "button",
        class: "quiet",
        onclick: () => units.set(units.peek() === "metric" ? "imperial" : "metric"),
        "aria-label": () => `${unitNames()}: units of the page. Change`,
      },
      unitNames,
    ),
    h(
      "button",
      {
        type: "button",
        class: "quiet",
        onclick: () => theme.set(dark() ? "light" : "dark"),
        "aria-label": () => (dark() ? "Light page" : "Dark page"),
      },
      () => (dark() ? "Light" : "Dark"),
    ),
    h("button", { type: "button", class: "quiet", onclick: openKeys }, "Keys"),
  );
}

const unitNames = (): string => (units() === "metric" ? "mm, g" : "in, oz");

function press(name: string, what: () => string | null | undefined, act: () => void): HTMLElement {
  return h(
    "button",
    {
      type: "button",
      class: "quiet",
      onclick: act,
      disabled: () => !what(),
      title: () => (what() ? `${name}: ${what()}` : null),
      "aria-label": () => (what() ? `${name}: ${what()}` : name),
    },
    name,
  );
}

export function masthead(): HTMLElement {
  return h(
    "section",
    { class: "masthead", "aria-label": "Brief and tools" },
    h(
      "p",
      { class: "title" },
      h("b", {}, () => brief()?.title ?? "Refledge"),
      h("span", {}, () => file() ?? ""),
      h("span", { class: "state", role: "status" }, stateWords),
    ),
    tools(),
  );
}

function stateWords(): string {
  if (!linked()) return "The workbench does not answer; trying again…";
  if (busy()) return "writing…";
  return file() ? `saved. ${standing()}` : "";
}
