/** Variants of the brief: kept under a name, laid over the airframe, compared figure by figure. */

import { get, post, Refused, remove } from "../api/client";
import type { Comparison, Edited, Variant } from "../api/types";
import { type Child, h } from "../kit/dom";
import { effect, signal } from "../kit/signal";
import { answered, trouble } from "../state/edits";
import { overlays } from "../state/picture";
import { results, variants } from "../state/study";
import { written, write } from "../words/units";
import { capital, MARK, TONE } from "../words/verdict";
import { table } from "./table";

const chosen = signal<readonly string[]>([]);
const MOST = 2; // beside what is on the screen: a third colour would not be told apart

export function variantsPanel(): Child {
  effect(() =>
    overlays.set(chosen().filter((name) => variants().some((each) => each.name === name))),
  );
  return [
    keeper(),
    () =>
      variants().length
        ? h("ul", { class: "variants" }, variants().map(row))
        : h(
            "p",
            { class: "empty" },
            "None yet. Keep the present state under a name, change something, and compare the two.",
          ),
    () => comparison(),
  ];
}

function keeper(): HTMLElement {
  const name = h("input", {
    type: "text",
    "aria-label": "name of the variant",
    placeholder: "such as wider arms",
  });
  const keep = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (!name.value.trim()) return name.focus();
    const made = await tried(() => post<Variant>("/api/variants", { name: name.value.trim() }));
    if (!made) return;
    variants.set([...variants.peek().filter((each) => each.name !== made.name), made]);
    name.value = "";
  };
  return h(
    "form",
    { class: "adder", onsubmit: (event: Event) => void keep(event) },
    h("span", {}, "Keep the present state as"),
    name,
    h("button", { type: "submit" }, "Keep"),
  );
}

async function tried<T>(ask: () => Promise<T>): Promise<T | null> {
  try {
    return await ask();
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble.set(error.message);
    return null;
  }
}

function row({ name, verdict, all_up_kg: mass, frame_kg: frame }: Variant): HTMLElement {
  const on = (): boolean => chosen().includes(name);
  const flip = (): void =>
    chosen.set(on() ? chosen().filter((each) => each !== name) : [...chosen(), name].slice(-MOST));
  const path = `/api/variants/${encodeURIComponent(name)}`;
  const drop = async (): Promise<void> => {
    if ((await tried(() => remove(path))) === null) return;
    variants.set(variants.peek().filter((each) => each.name !== name));
  };
  return h(
    "li",
    { class: TONE[verdict] },
    h("label", {}, h("input", { type: "checkbox", checked: on, onchange: flip }), h("b", {}, name)),
    h("span", {}, `${MARK[verdict]} ${verdict}, ${write(mass, "kg")}, frame ${write(frame, "g")}`),
    h(
      "button",
      {
        type: "button",
        class: "quiet",
        onclick: () => void answered(() => post<Edited>(`${path}/use`)),
      },
      "Use",
    ),
    h(
      "button",
      {
        type: "button",
        class: "quiet",
        onclick: () => void drop(),
        "aria-label": `Throw ${name} away`,
      },
      "×",
    ),
  );
}

function comparison(): HTMLElement | null {
  const names = chosen();
  if (!names.length) return null;
  const found = signal<Comparison | null>(null);
  effect(() => {
    results();
    const asked = ["now", ...names].map(encodeURIComponent).join(",");
    void tried(() => get<Comparison>(`/api/compare?names=${asked}`)).then((said) =>
      found.set(said),
    );
  });
  return h("div", { class: "compared" }, () =>
    found() ? tables(found()!) : h("p", { class: "empty" }, "Comparing…"),
  );
}

function tables({ names, rows, brief, checks }: Comparison): Child {
  const heads = names.map((name) => ({
    head: name === "now" ? "on the screen" : name,
    number: true,
  }));
  const figures = rows.filter(({ differs }) => differs);
  const moved = checks.filter(({ verdicts }) => new Set(verdicts).size > 1);
  return [
    table(
      "What was asked differently",
      [{ head: "asked" }, ...heads],
      brief.map(({ label, texts }) => ({ cells: [capital(label), ...texts] })),
    ),
    table(
      "Figures that differ",
      [{ head: "figure" }, ...heads],
      figures.map((each) => ({
        cells: [
          capital(each.label),
          ...each.texts.map(
            (text, k) =>
              [
                written(each.values[k]!, each.shown, text),
                each.change_texts[k] ? h("small", {}, ` ${each.change_texts[k]}`) : "",
              ] as Child,
          ),
        ],
      })),
    ),
    moved.length
      ? table(
          "Checks that change their verdict",
          [{ head: "check" }, ...heads],
          moved.map(({ label, verdicts }) => ({
            cells: [
              capital(label),
              ...verdicts.map((verdict) =>
                h("span", { class: TONE[verdict] }, `${MARK[verdict]} ${verdict}`),
              ),
            ],
          })),
        )
      : h("p", { class: "empty" }, "No check changes its verdict."),
  ];
}
