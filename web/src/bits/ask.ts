/** Lines of a form that is sent as a whole: what it is, its value, what is wrong with it. */

import type { Problem } from "../api/types";
import { h } from "../kit/dom";
import { effect, type Signal, signal } from "../kit/signal";
import { inWords } from "../state/edits";
import { capital } from "../words/verdict";

export interface Ask {
  name: string;
  label: string;
  example?: string;
  /** Values to choose from, each with its words. */
  choices?: readonly (readonly [string, string])[];
  /** Values that may be meant, offered while writing. */
  offers?: () => readonly string[];
  type?: "text" | "datetime-local";
  required?: boolean;
}

/** Values under way and what the server refused of them, by name. */
export interface Sheet {
  id: string;
  values: Map<string, Signal<string>>;
  faults: Signal<ReadonlyMap<string, string>>;
}

export function newSheet(id: string, first: Record<string, string> = {}): Sheet {
  const values = new Map(Object.entries(first).map(([name, text]) => [name, signal(text)]));
  return { id, values, faults: signal<ReadonlyMap<string, string>>(new Map()) };
}

export function valueOf(sheet: Sheet, name: string): Signal<string> {
  const found = sheet.values.get(name) ?? signal("");
  sheet.values.set(name, found);
  return found;
}

/** What is written, blanks left out. */
export function written(sheet: Sheet): Record<string, string> {
  const all = [...sheet.values].map(([name, text]) => [name, text.peek().trim()] as const);
  return Object.fromEntries(all.filter(([, text]) => text));
}

export function refuse(sheet: Sheet, problems: readonly Problem[]): void {
  sheet.faults.set(new Map(problems.map((each) => [each.field, inWords(each)])));
}

export function askLine(sheet: Sheet, ask: Ask): HTMLElement {
  const id = `${sheet.id}-${ask.name}`;
  const fault = (): string => sheet.faults().get(ask.name) ?? "";
  const open = ask.required && !sheet.values.get(ask.name)?.peek() && !ask.choices;
  const control = ask.choices ? chooser(sheet, ask, id) : writer(sheet, ask, id);
  effect(() => {
    if (fault()) control.focus();
  });
  return h(
    "div",
    { class: () => `line${fault() ? " wrong" : ""}`, "data-ask": ask.name },
    h("label", { for: id }, capital(ask.label), open && h("small", {}, " needed")),
    h("span", { class: "value" }, control, offers(ask, id)),
    h("p", { class: "fault", id: `${id}-fault`, role: "alert" }, () => fault()),
  );
}

function common(sheet: Sheet, ask: Ask, id: string): Record<string, string | (() => string)> {
  return {
    id,
    "aria-describedby": `${id}-fault`,
    "aria-invalid": () => String(sheet.faults().has(ask.name)),
  };
}

function writer(sheet: Sheet, ask: Ask, id: string): HTMLInputElement {
  const value = valueOf(sheet, ask.name);
  const input = h("input", {
    ...common(sheet, ask, id),
    type: ask.type ?? "text",
    class: "written",
    placeholder: ask.example ?? "",
    autocomplete: "off",
    spellcheck: "false",
    list: ask.offers ? `${id}-list` : null,
    value: () => value(),
  });
  input.addEventListener("input", () => value.set(input.value));
  return input;
}

function chooser(sheet: Sheet, ask: Ask, id: string): HTMLSelectElement {
  const value = valueOf(sheet, ask.name);
  const options = ask.choices!.map(([key, words]) => h("option", { value: key }, words));
  const select = h("select", common(sheet, ask, id), options);
  if (!ask.choices!.some(([key]) => key === value.peek())) value.set(ask.choices![0]?.[0] ?? "");
  effect(() => {
    select.value = value();
  });
  select.addEventListener("change", () => value.set(select.value));
  return select;
}

function offers(ask: Ask, id: string): HTMLElement | null {
  if (!ask.offers) return null;
  return h("datalist", { id: `${id}-list` }, () =>
    ask.offers!().map((each) => h("option", { value: each })),
  );
}
