/** The place of the large picture: the airframe with its tools, or a chart made large. */

import { figure } from "../bits/figure";
import { drawing, enlarged } from "../charts/base";
import { type Child, h } from "../kit/dom";
import { effect } from "../kit/signal";
import { picked, pick } from "../state/picked";
import * as tools from "../state/picture";
import { assembly, results, shapes } from "../state/study";
import { write } from "../words/units";
import { caseChoice, cutChoice, paintChoice } from "./choices";
import { rampCss } from "../view/ramp";
import { makePicture, type Picture } from "../view/picture";
import { drawnScale, legend, under } from "../view/told";

export function view(): HTMLElement {
  const canvas = h("div", { class: "canvas", role: "img", "aria-label": describe });
  const place = h("section", { class: "view", "aria-label": "Picture of the airframe" });
  let picture: Picture | null = null;
  const failed = h(
    "p",
    { class: "empty", hidden: true },
    "This browser cannot draw in three dimensions (WebGL is off). Everything else works; the build folder has pictures.",
  );
  try {
    picture = makePicture(canvas);
  } catch {
    failed.hidden = false;
  }
  const frame = h(
    "div",
    { class: () => `airframe${assembly() ? "" : " bare"}`, hidden: () => enlarged() !== null },
    canvas,
    failed,
    marks(),
    controls(picture),
    caption(),
  );
  place.append(frame, large());
  return place;
}

function describe(): string {
  const bodies = assembly()?.bodies.length ?? 0;
  const name = picked().name ?? picked().keys.join(", ");
  return `The airframe, ${bodies} bodies${name ? `, ${name} picked` : ""}`;
}

function large(): HTMLElement {
  const holder = h("div", { class: "large", hidden: () => enlarged() === null });
  effect(() => {
    const chart = enlarged();
    holder.replaceChildren();
    if (!chart) return;
    const back = h(
      "button",
      { type: "button", class: "act", onclick: () => enlarged.set(null) },
      "Back to the airframe",
    );
    holder.append(h("h2", {}, chart.title), back, drawing(chart, null));
  });
  return holder;
}

/** What floats over the picture: the name under the pointer, the legend, nothing yet. */
function marks(): Child {
  return [
    h(
      "output",
      {
        class: "name-tag",
        hidden: () => !under(),
        "--x": () => `${under()?.x ?? 0}px`,
        "--y": () => `${under()?.y ?? 0}px`,
      },
      () => under()?.name ?? "",
    ),
    () =>
      assembly()
        ? null
        : h(
            "p",
            { class: "empty middle" },
            results()?.checks.length
              ? "The picture follows when the solids are made."
              : "The airframe will stand here once a frame is sized.",
          ),
    () =>
      results()?.solids === "following"
        ? h("p", { class: "following" }, "Solids are being made again…")
        : null,
    h(
      "div",
      { class: "key" },
      () => motion(),
      () => legendBox(),
    ),
  ];
}

function legendBox(): HTMLElement | null {
  const found = legend();
  if (!found) return null;
  const stops = Array.from({ length: 9 }, (_, k) => `${rampCss(k / 8)} ${(100 * k) / 8}%`).join(
    ",",
  );
  const at = (share: number): string => {
    if (found.unit === "mm") return write(share * found.most, "mm");
    return found.unit === "limit"
      ? share === 1
        ? "limit"
        : `${100 * share} %`
      : `${100 * share} %`;
  };
  return h(
    "div",
    { class: "legend" },
    h("b", {}, found.title),
    h("div", { class: "ramp", "--ramp": `linear-gradient(to right,${stops})` }),
    h("div", { class: "ends" }, h("span", {}, at(0)), h("span", {}, at(0.5)), h("span", {}, at(1))),
  );
}

function controls(picture: Picture | null): HTMLElement {
  return h(
    "div",
    { class: "controls", role: "toolbar", "aria-label": "Picture" },
    h(
      "div",
      { class: "set" },
      (["corner", "above", "front", "side"] as const).map((from) =>
        h("button", { type: "button", onclick: () => picture?.look(from) }, from),
      ),
      h("button", { type: "button", onclick: () => picture?.whole() }, "fit"),
    ),
    h(
      "div",
      { class: "set" },
      range("apart", () => tools.apart(), tools.apart.set),
      toggle("discs", tools.discs),
    ),
    h("div", { class: "set" }, cutChoice(), () =>
      tools.cutAxis() ? range("where", () => tools.cutShare(), tools.cutShare.set) : null,
    ),
    h("div", { class: "set" }, toggle("measure", tools.measuring), () =>
      tools.measuring() ? h("span", { class: "soft" }, "press two points") : null,
    ),
  );
}

function motion(): Child {
  if (!shapes()) return null;
  const still = !tools.loadCase() && !tools.mode();
  return [
    caseChoice(),
    !still && paintChoice(),
    !still &&
      h(
        "div",
        { class: "set" },
        range("amount", () => tools.growth(), tools.growth.set),
        !tools.mode() && toggle("arrows", tools.arrows),
      ),
    !still && h("p", { class: "soft", "aria-live": "polite" }, () => drawnWords()),
  ];
}

function drawnWords(): string {
  if (!drawnScale()) return "";
  if (tools.mode()) return "size of the swing is free; its shape is what counts";
  return `movement drawn ${Number((drawnScale() * tools.growth()).toPrecision(2))} times as large`;
}

function toggle(
  name: string,
  value: { (): boolean; set(on: boolean): void; peek(): boolean },
): HTMLElement {
  return h(
    "button",
    {
      type: "button",
      "aria-pressed": () => String(value()),
      onclick: () => value.set(!value.peek()),
    },
    name,
  );
}

function range(name: string, value: () => number, set: (value: number) => void): HTMLElement {
  const input = h("input", { type: "range", min: 0, max: 1, step: 0.01 });
  effect(() => {
    input.value = String(value());
  });
  input.addEventListener("input", () => set(Number(input.value)));
  return h("label", { class: "range" }, name, input);
}

/** The picture's caption says the figures asked for first; each opens to its source. */
function caption(): HTMLElement {
  return h("p", { class: "caption" }, () => {
    const { name, keys } = picked();
    const free =
      (name || keys.length > 0) &&
      h(
        "span",
        { class: "pick" },
        name ?? keys.join(", ").replaceAll("_", " "),
        h(
          "button",
          {
            type: "button",
            class: "quiet",
            onclick: () => pick([]),
            "aria-label": "Let go of what is picked",
          },
          "×",
        ),
      );
    if (!results()?.figures.length) return free;
    return [
      free,
      "All-up ",
      figure("all_up_mass"),
      ", of which frame ",
      figure("frame_mass"),
      "; hovers ",
      figure("hover_time"),
      " on ",
      figure("hover_power"),
      ".",
    ];
  });
}
