/** How it is laid out: where the rotors sit, and what other layouts would cost. */

import { chartBox } from "../charts/base";
import { layoutsChart, layoutTable } from "../charts/layouts";
import { paretoChart } from "../charts/pareto";
import { servedTable } from "../bits/table";
import { checkList } from "../bits/checks";
import { figure } from "../bits/figure";
import { h } from "../kit/dom";
import { derived } from "../kit/signal";
import { charts, results, tables } from "../state/study";
import { jobPress } from "../bits/jobs";
import { ledger, noFrame, ofLastSizing, type Page, section } from "./page";

export const layout: Page = {
  key: "layout",
  question: "How it is laid out",
  groups: ["flight"],
  body: () => {
    const many = derived(() => (charts()?.layouts.length ?? 0) > 1);
    return [
      h("p", { class: "lead" }, () =>
        results()?.figures.length
          ? [
              "It hovers ",
              figure("hover_time"),
              " on ",
              figure("hover_power"),
              ", at ",
              figure("hover_throttle"),
              " throttle.",
            ]
          : noFrame(),
      ),
      () => checkList((results()?.checks ?? []).filter(({ group }) => group === "flight")),
      ledger("Where the rotors sit", "layout"),
      ofLastSizing("layouts"),
      () => (many() ? chartBox(layoutsChart) : null),
      () =>
        charts()?.layouts.length === 1
          ? section("The layout asked for", layoutTable(charts()!.layouts))
          : null,
      jobPress("layouts"),
      chartBox(paretoChart),
      section("Motor by motor", () => served("motors", "Order, place and way of turning")),
      h("details", { class: "more" }, h("summary", {}, "Thrust allocation for the mixer"), () =>
        served("allocation", "Thrust allocation"),
      ),
    ];
  },
};

function served(name: string, caption: string): HTMLElement {
  const found = tables().get(name);
  return found
    ? servedTable(caption, found)
    : h("p", { class: "empty" }, "Comes with the first sizing.");
}
