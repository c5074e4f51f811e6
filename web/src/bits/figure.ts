/** A figure in text that opens to its method, source and uncertainty. */

import type { Figure } from "../api/types";
import { h } from "../kit/dom";
import { results } from "../state/study";
import { written } from "../words/units";
import { openSlip, terms } from "./note";

export function findFigure(key: string): Figure | undefined {
  return results()?.figures.find((figure) => figure.key === key);
}

export function figureText(key: string): string {
  const figure = findFigure(key);
  return figure ? written(figure.value, figure.shown, figure.text) : "–";
}

export function figure(key: string): HTMLElement {
  const button = h(
    "button",
    {
      type: "button",
      class: "figure",
      "aria-haspopup": "dialog",
      "data-figure": key,
      "aria-label": () =>
        `${findFigure(key)?.label ?? key}: ${figureText(key)}. Where it comes from`,
      onclick: () => {
        const found = findFigure(key);
        if (found) openSlip(button, found.label, sourceOf(found));
      },
    },
    () => figureText(key),
  );
  return button;
}

function sourceOf(found: Figure): HTMLElement {
  return terms(
    ["figure", written(found.value, found.shown, found.text)],
    ["method", found.method],
    ["source", found.source],
    ["uncertainty", found.spread_text || "not stated"],
  );
}
