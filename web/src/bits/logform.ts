/** Writing into the project's log: choose what happened, fill its lines, write. */

import type { Form, Slot } from "../api/breaking";
import { type Child, h } from "../kit/dom";
import { derived, signal, untracked } from "../kit/signal";
import { logbook, writeLog } from "../state/logbook";
import { tables } from "../state/study";
import { type Ask, askLine, newSheet, refuse, type Sheet, written } from "./ask";

const WORDS: Record<string, string> = {
  "arm-tip": "onto an arm’s tip",
  "nose-in": "nose first",
  "flat-drop": "flat on its legs",
  "one-leg": "onto one leg",
  cartwheel: "on edge and rolling",
  other: "some other way",
  crash: "broken in a crash",
  wear: "worn out",
  sound: "taken off sound",
};

const opened = signal<string | null>(null);
const said = signal<{ text: string; wrong: boolean } | null>(null);

export function logForm(): Child {
  const forms = (): readonly Form[] =>
    (logbook()?.forms ?? []).filter(({ key }) => key !== "strike");
  const open = derived(() => forms().find(({ key }) => key === opened())?.key ?? null);
  return [
    h("div", { class: "choices" }, () => forms().map(chooseForm)),
    () => {
      const key = open(); // the log may be read again meanwhile: what is half written stays
      const form = key && untracked(forms).find((each) => each.key === key);
      return form ? filled(form) : null;
    },
    h("p", { class: () => (said()?.wrong ? "refused" : "soft"), role: "status" }, () =>
      said() ? said()!.text : "",
    ),
  ];
}

function chooseForm({ key, title }: Form): HTMLElement {
  return h(
    "button",
    {
      type: "button",
      "data-form": key,
      "aria-pressed": () => String(opened() === key),
      onclick: () => {
        said.set(null);
        opened.set(opened.peek() === key ? null : key);
      },
    },
    title,
  );
}

function filled(form: Form): HTMLElement {
  const sheet = newSheet(`log-${form.key}`);
  const send = (event: Event): void => {
    event.preventDefault();
    void give(form, sheet);
  };
  return h(
    "form",
    { class: "ledger logform", novalidate: true, onsubmit: send },
    h("p", { class: "lead" }, form.about),
    form.slots.map((slot) => askLine(sheet, asked(slot))),
    askLine(sheet, { name: "date", label: "when, if not now", type: "datetime-local" }),
    h("button", { type: "submit", class: "act" }, "Write it down"),
  );
}

async function give(form: Form, sheet: Sheet): Promise<void> {
  const found = await writeLog(form.key, written(sheet));
  refuse(sheet, found.problems);
  if (found.said) {
    opened.set(null);
    said.set({ text: `Written down as entry ${found.said}.`, wrong: false });
  } else said.set(found.problems.length ? null : { text: found.message, wrong: true });
}

function asked(slot: Slot): Ask {
  const { name, label, example, required } = slot;
  const ask: Ask = { name, label, example, required };
  if (slot.choices.length) ask.choices = slot.choices.map((key) => [key, WORDS[key] ?? key]);
  if (slot.of === "part") ask.offers = partKeys;
  if (slot.of === "serial") ask.offers = serials;
  return ask;
}

function partKeys(): string[] {
  const given = tables().get("parts");
  const at = given?.columns.findIndex(({ name }) => name === "key") ?? -1;
  return at < 0 ? [] : given!.rows.map((row) => String(row[at]));
}

function serials(): string[] {
  const lives = logbook()?.summary?.lives ?? [];
  return lives.filter(({ removed }) => !removed).map(({ serial }) => serial);
}
