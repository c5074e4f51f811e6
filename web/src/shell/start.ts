/** The first run: no brief is open yet. */

import { get, post, Refused } from "../api/client";
import type { State } from "../api/types";
import { h } from "../kit/dom";
import { effect, signal } from "../kit/signal";
import { trouble } from "../state/edits";
import { file, project, takeState } from "../state/study";

interface Start {
  examples: { key: string; title: string; note: string }[];
  briefs: string[];
}

export function startPage(): HTMLElement {
  const offer = signal<Start | null>(null);
  effect(() => {
    if (!file())
      void get<Start>("/api/start")
        .then((said) => offer.set(said))
        .catch(fail);
  });
  return h(
    "main",
    { class: "start" },
    h("h1", {}, "From a wreck to a frame that you can print again."),
    h(
      "p",
      { class: "lead" },
      "Say what is left, what it must do, and what your printer can print. Refledge lays the frame out, sizes it, checks it, and writes what you print and build from. The brief is a text file in ",
      h("code", {}, () => project()),
      ": yours to edit with anything.",
    ),
    () => choices(offer()),
  );
}

function choices(offer: Start | null): HTMLElement | null {
  if (!offer) return null;
  return h(
    "ul",
    { class: "offers" },
    offer.briefs.map((name) =>
      offerLine(`Open ${name}`, "A brief in this folder.", { open: name }),
    ),
    offer.examples.map(({ key, title, note }) =>
      offerLine(`Try the example: ${title}`, note, { example: key }),
    ),
    offerLine("Start an empty brief", "Every field explained, sensible figures to write over.", {
      starter: true,
    }),
  );
}

function offerLine(title: string, about: string, body: Record<string, unknown>): HTMLElement {
  const take = (): void => void post<State>("/api/start", body).then(takeState).catch(fail);
  return h(
    "li",
    {},
    h("button", { type: "button", onclick: take }, h("b", {}, title), h("span", {}, about)),
  );
}

function fail(error: unknown): void {
  if (!(error instanceof Refused)) throw error;
  trouble.set(error.message);
}
