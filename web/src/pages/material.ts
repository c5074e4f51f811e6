/** What it is printed from: the spools on the shelf, the printer, and what each would weigh. */

import { chartBox } from "../charts/base";
import { alternativesChart } from "../charts/alternatives";
import { checkList } from "../bits/checks";
import { h } from "../kit/dom";
import { results } from "../state/study";
import { FRAME } from "./asked";
import { folded, ledger, ofLastSizing, type Page, section } from "./page";

export const material: Page = {
  key: "material",
  question: "What it is printed from",
  groups: ["heat"],
  body: () => [
    h(
      "p",
      { class: "lead" },
      "Every filament on the shelf that the printer can print is sized; the lightest frame that holds is taken, unless you ask for one.",
    ),
    ledger("Asked for", "frame", FRAME.material),
    chartBox(alternativesChart),
    ledger("The printer and its shelf", "printer"),
    folded("How parts are filled", "frame", FRAME.filling),
    () => checkList((results()?.checks ?? []).filter(({ group }) => group === "heat")),
    section(
      "Assumed, left out, and cautions",
      ofLastSizing("notes"),
      h("ul", { class: "notes" }, () => (results()?.notes ?? []).map((note) => h("li", {}, note))),
    ),
  ],
};
