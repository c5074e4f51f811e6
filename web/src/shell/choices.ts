/** Lists to choose from at the picture: load or mode, colours, cut. */

import { h } from "../kit/dom";
import { effect } from "../kit/signal";
import * as tools from "../state/picture";
import { shapes } from "../state/study";
import { caseNow } from "../view/told";

export function caseChoice(): HTMLElement {
  const select = h(
    "select",
    { "aria-label": "Load case or mode shown" },
    h("option", { value: "" }, "at rest"),
  );
  const given = shapes();
  const cases = h(
    "optgroup",
    { label: "Loads" },
    (given?.cases ?? []).map(({ key, title }) => h("option", { value: `c ${key}` }, title)),
  );
  const modes = h(
    "optgroup",
    { label: "Modes" },
    (given?.modes ?? []).map(({ of, index, hz, label }) =>
      h("option", { value: `m ${of} ${index}` }, `${hz.toFixed(1)} Hz, ${label}`),
    ),
  );
  select.append(cases, modes);
  const found = caseNow(given);
  const swing = tools.mode();
  select.value = swing ? `m ${swing.of} ${swing.index}` : found ? `c ${found.key}` : "";
  select.addEventListener("change", () => choose(select.value));
  return select;
}

function choose(value: string): void {
  const [kind, first, second] = value.split(" ");
  tools.mode.set(kind === "m" ? { of: first!, index: Number(second) } : null);
  tools.loadCase.set(kind === "c" ? value.slice(2) : null);
  if (value && tools.paint.peek() === "parts") tools.paint.set("movement");
  if (!value) tools.paint.set("parts");
}

export function paintChoice(): HTMLElement {
  const names = {
    parts: "colour by part",
    movement: "by movement",
    use: "by strength used",
  } as const;
  const select = h(
    "select",
    { "aria-label": "Colours" },
    Object.entries(names).map(([value, name]) => h("option", { value }, name)),
  );
  select.value = tools.paint();
  select.addEventListener("change", () => tools.paint.set(select.value as tools.Paint));
  return select;
}

export function cutChoice(): HTMLElement {
  const names = { "": "no cut", left: "cut along", nose: "cut across", up: "cut level" };
  const select = h(
    "select",
    { "aria-label": "Section cut" },
    Object.entries(names).map(([value, name]) => h("option", { value }, name)),
  );
  effect(() => {
    select.value = tools.cutAxis() ?? "";
  });
  select.addEventListener("change", () =>
    tools.cutAxis.set((select.value || null) as ReturnType<typeof tools.cutAxis>),
  );
  return select;
}
