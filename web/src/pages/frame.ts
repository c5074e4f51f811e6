/** The frame: plates, mounts, legs, tray; what each weighs. */

import type { FieldGroup } from "../api/types";
import { chartBox } from "../charts/base";
import { massChart } from "../charts/masses";
import { checkList } from "../bits/checks";
import { figure } from "../bits/figure";
import { h } from "../kit/dom";
import { derived, untracked } from "../kit/signal";
import { brief, results } from "../state/study";
import { partsTable } from "../bits/parts";
import { capital } from "../words/verdict";
import { byHand } from "./arm";
import { FRAME, restOf, unclaimed } from "./asked";
import { folded, ledger, noFrame, type Page, section } from "./page";

export const frame: Page = {
  key: "frame",
  question: "The frame",
  groups: ["fit"],
  body: () => [
    h("p", { class: "lead" }, () =>
      results()?.figures.length
        ? ["The frame weighs ", figure("frame_mass"), " of ", figure("all_up_mass"), " all-up."]
        : noFrame(),
    ),
    section("The parts", () => partsTable()),
    chartBox(massChart),
    byHand("Plates, legs and mounts", (part) => !part.startsWith("arm")),
    ledger("Asked for", "frame", restOf(FRAME)),
    furtherTables(),
    () => checkList((results()?.checks ?? []).filter(({ group }) => group === "fit")),
  ],
};

/** Tables of the brief that no other page shows: what parts can be told beyond the wishes above. */
function furtherTables(): () => HTMLElement[] {
  const found = (): FieldGroup[] => unclaimed(brief()?.groups ?? []);
  const paths = derived(() =>
    found()
      .map(({ path }) => path)
      .join(),
  );
  return () => {
    paths();
    return untracked(found).map(({ label, path }) => folded(capital(label), path));
  };
}
