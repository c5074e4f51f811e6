/** Will it shake: modes against rotor speeds, and how each moves. */

import { checkList } from "../bits/checks";
import { chartBox } from "../charts/base";
import { modeTable, speedsChart } from "../charts/speeds";
import { h } from "../kit/dom";
import { charts, results } from "../state/study";
import { LIMITS } from "./asked";
import { ledger, noFrame, type Page, section } from "./page";

export const shake: Page = {
  key: "shake",
  question: "Will it shake",
  groups: ["shaking"],
  body: () => [
    chartBox(speedsChart),
    section(
      "How it moves",
      h(
        "p",
        { class: "lead" },
        "Show a mode and the picture swings in it, slowly and much enlarged.",
      ),
      () => (charts()?.speeds ? modeTable(charts()!.speeds!.modes) : noFrame()),
    ),
    () => checkList((results()?.checks ?? []).filter(({ group }) => group === "shaking")),
    ledger("What must hold", "limits", LIMITS.shaking),
  ],
};
