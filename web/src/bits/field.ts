/** One line of the ledger: what it is, and its value as text with a unit, to be written over. */

import type { Dimension, Field } from "../api/types";
import { h } from "../kit/dom";
import { effect, signal } from "../kit/signal";
import { type Edit, edit, faults, type Value, type Where } from "../state/edits";
import { brief } from "../state/study";
import { nudged } from "../words/nudge";
import { capital } from "../words/verdict";

/** What may stand in the field that has the cursor; at the page's foot, so that nothing shifts. */
export const footnote = signal<(() => string) | null>(null);

interface Line {
  path: string;
  label: string;
  text: () => string;
  hint: () => string;
  choices: readonly string[];
  faint: () => boolean;
  send: (text: string | null) => Promise<boolean>;
  step: () => number | null;
  back: () => string | null;
}

export function fieldLine(first: Field): HTMLElement {
  const now = (): Field => findField(first.path) ?? first;
  if (first.kind === "condition") return conditionLine(first, now);
  return line({
    path: first.path,
    label: first.label,
    text: () => (first.kind === "flag" ? String(now().value) : now().text),
    hint: () => hintOf(now()),
    choices: first.kind === "flag" ? ["true", "false"] : first.choices,
    faint: () => !now().stated,
    send: (text) => edit([{ path: first.path, value: text }]),
    step: () => null,
    back: () => (now().stated && !first.required ? "Strike out: back to the default" : null),
  });
}

export function dimensionLine(first: Dimension): HTMLElement {
  const now = (): Dimension => brief()?.dimensions.find(({ path }) => path === first.path) ?? first;
  return line({
    path: first.path,
    label: first.label,
    text: () => now().text,
    hint: () => dimensionHint(now()),
    choices: [],
    faint: () => !now().by_hand,
    send: (text) => edit([{ path: first.path, value: text }], "dimensions"),
    step: () => (now().shown === "mm" ? now().step * 1e3 : now().step),
    back: () => (now().by_hand ? "Back to the sized value" : null),
  });
}

export function findField(path: string): Field | undefined {
  for (const group of brief()?.groups ?? []) {
    const found = group.fields.find((field) => field.path === path);
    if (found) return found;
  }
  return undefined;
}

function hintOf(field: Field): string {
  const parts = [
    field.allowed && `Allowed: ${field.allowed}.`,
    !field.stated && field.reason && `Default: ${field.reason}.`,
    field.stated && field.default && `Default: ${field.default}.`,
  ];
  return parts.filter(Boolean).join(" ");
}

function dimensionHint(dimension: Dimension): string {
  const mm = (m: number): string => `${(1e3 * m).toFixed(1)} mm`;
  const shown = dimension.shown === "mm" ? mm : (value: number) => String(value);
  const range = `${shown(dimension.low)} to ${shown(dimension.high)}; sized to ${shown(dimension.sized)}.`;
  return `${range} Setting it by hand keeps the sizing off. Up and down arrows step it.`;
}

function line(of: Line): HTMLElement {
  const id = `f-${of.path.replace(/[^a-z0-9]+/gi, "-")}`;
  const fault = (): string => faults().get(of.path) ?? "";
  const control = of.choices.length ? chooser(of, id) : writer(of, id);
  effect(() => {
    if (fault()) control.focus();
  });
  const name = h("label", { for: id }, capital(of.label));
  control.addEventListener("focus", () => footnote.set(of.hint));
  control.addEventListener("blur", () => footnote.set(null));
  return h(
    "div",
    {
      class: () => `line${of.faint() ? " default" : ""}${fault() ? " wrong" : ""}`,
      "data-path": of.path,
    },
    name,
    h("span", { class: "value" }, control, () => giveBack(of, of.back())),
    h("p", { class: "hint", id: `${id}-hint`, hidden: true }, () => of.hint()),
    h("p", { class: "fault", id: `${id}-fault`, role: "alert" }, () => fault()),
  );
}

function giveBack(of: Line, words: string | null): HTMLElement | null {
  if (!words) return null;
  const press = (): void => void of.send(null);
  const name = `${words} (${of.label})`;
  return h(
    "button",
    { type: "button", class: "back", title: words, "aria-label": name, onclick: press },
    "×",
  );
}

function described(of: Line, id: string): Record<string, string | (() => string)> {
  return {
    id,
    "aria-describedby": `${id}-hint ${id}-fault`,
    "aria-invalid": () => String(faults().has(of.path)),
  };
}

/** Text that goes to the server on Enter and when left; Escape takes it back. */
function writer(of: Line, id: string): HTMLInputElement {
  const written = signal<string | null>(null);
  const input = h("input", {
    ...described(of, id),
    type: "text",
    spellcheck: "false",
    autocomplete: "off",
  });
  effect(() => {
    const kept = faults().has(of.path) ? written() : null;
    input.value = kept ?? of.text();
    input.size = Math.max(6, Math.min(30, input.value.length + 1));
  });
  const give = async (text: string): Promise<void> => {
    const same = text === of.text() && !faults.peek().has(of.path);
    if (same || !text) return takeBack();
    written.set(text);
    const held = await of.send(text);
    if (held) written.set(null);
  };
  const takeBack = (): void => {
    written.set(null);
    clearFault(of.path);
    input.value = of.text();
  };
  input.addEventListener("change", () => void give(input.value.trim()));
  input.addEventListener("keydown", (event) => {
    if (event.key === "Escape") takeBack();
    if (event.key !== "ArrowUp" && event.key !== "ArrowDown") return;
    const next = nudged(input.value, event.key === "ArrowUp" ? 1 : -1, event.shiftKey, of.step());
    if (next === null) return;
    event.preventDefault();
    input.value = next;
    void give(next);
  });
  return input;
}

function chooser(of: Line, id: string): HTMLSelectElement {
  const select = h(
    "select",
    described(of, id),
    of.choices.map((each) => h("option", { value: each }, said(each))),
  );
  effect(() => {
    select.value = of.text();
  });
  select.addEventListener("change", () => void of.send(select.value));
  return select;
}

function said(choice: string): string {
  return choice === "true" ? "yes" : choice === "false" ? "no" : choice;
}

function clearFault(path: string): void {
  const rest = new Map(faults.peek());
  if (rest.delete(path)) faults.set(rest);
}

const STATES = ["sound", "suspect", "scrap"] as const;

/** How many are sound, suspect and scrap: three small numbers. */
function conditionLine(first: Field, now: () => Field): HTMLElement {
  const counts = (): Record<string, number> => (now().value ?? {}) as Record<string, number>;
  const send = (state: string, text: string): void => {
    const value: Value = { ...counts(), [state]: Number(text) };
    const change: Edit = { path: first.path, value };
    void edit([change]);
  };
  const boxes = STATES.map((state) =>
    h(
      "label",
      { class: "count" },
      state,
      countBox(state, () => counts()[state] ?? 0, send),
    ),
  );
  const fault = (): string => faults().get(first.path) ?? "";
  return h(
    "div",
    {
      class: () => `line condition${fault() ? " wrong" : ""}`,
      "data-path": first.path,
      role: "group",
      "aria-label": first.label,
    },
    h("span", { class: "name" }, capital(first.label)),
    h("span", { class: "value" }, boxes),
    h("p", { class: "fault", role: "alert" }, () => fault()),
  );
}

function countBox(
  state: string,
  count: () => number,
  send: (state: string, text: string) => void,
): HTMLElement {
  const input = h("input", { type: "number", min: 0, max: 99, step: 1 });
  effect(() => {
    input.value = String(count());
  });
  input.addEventListener("change", () => send(state, input.value));
  return input;
}

/** Which fields of a group: those named, or those that a question is answered with yes for. */
export type Wanted = readonly string[] | ((name: string) => boolean);

/** Lines of one group of fields, whole or only those wanted. */
export function groupLines(path: string, wanted: Wanted = () => true): HTMLElement[] {
  const group = brief.peek()?.groups.find((each) => each.path === path);
  const want = typeof wanted === "function" ? wanted : (name: string) => wanted.includes(name);
  return (group?.fields ?? []).filter(({ name }) => want(name)).map(fieldLine);
}

export type { Where };
