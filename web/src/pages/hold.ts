/** Will it hold: every check with the share of its limit used, and the load that asks it. */

import { checkList } from "../bits/checks";
import { chartBox } from "../charts/base";
import { useChart } from "../charts/uses";
import { h } from "../kit/dom";
import { measuredChart } from "../charts/measured";
import { verified } from "../state/outcomes";
import { loadCase, mode, paint } from "../state/picture";
import { results, shapes } from "../state/study";
import { jobPress } from "../bits/jobs";
import { LIMITS, restOf } from "./asked";
import { folded, ledger, noFrame, type Page, section } from "./page";
import { write } from "../words/units";

const ASKED = ["stiffness", "strength", "joints"];

export const hold: Page = {
  key: "hold",
  question: "Will it hold",
  groups: ASKED,
  body: () => [
    section(
      "Load it",
      h(
        "p",
        { class: "lead" },
        "Choose a load: the picture bends, much enlarged, with its forces drawn.",
      ),
      () => cases(),
    ),
    chartBox(useChart),
    () =>
      results()?.checks.length
        ? checkList(results()!.checks.filter(({ group }) => ASKED.includes(group)))
        : noFrame(),
    jobPress("verify"),
    () => (verified() ? chartBox(beamsAndSolids) : null),
    ledger("What must hold", "limits", LIMITS.strength),
    folded("Further limits", "limits", restOf(LIMITS)),
  ],
};

const beamsAndSolids = measuredChart(
  "Beams against solids",
  "Solid",
  verified,
  "Verify the parts as solids to compare.",
);

function cases(): HTMLElement {
  const list = shapes()?.cases ?? [];
  const choose = (key: string | null): void => {
    mode.set(null);
    loadCase.set(key);
    if (key && paint.peek() === "parts") paint.set("movement");
  };
  const press = (key: string | null, title: string, about: string): HTMLElement =>
    h(
      "button",
      {
        type: "button",
        "aria-pressed": () => String(loadCase() === key || (key !== null && loadCase() === title)),
        title: about,
        onclick: () => choose(key),
      },
      title,
    );
  return h(
    "div",
    { class: "choices" },
    press(null, "at rest", "no load"),
    list.map(({ key, title, reason, tip_m: tips }) =>
      press(key, title, `${reason}; arm tip moves ${write(Math.max(0, ...tips), "mm")}`),
    ),
  );
}
