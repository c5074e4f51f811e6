/** The frame: plates, mounts, legs, tray; what each weighs. */

import { chartBox } from "../charts/base";
import { massChart } from "../charts/masses";
import { checkList } from "../bits/checks";
import { figure } from "../bits/figure";
import { h } from "../kit/dom";
import { results } from "../state/study";
import { partsTable } from "../bits/parts";
import { byHand } from "./arm";
import { ledger, noFrame, type Page, section } from "./page";

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
    ledger("Asked for", "frame", [
      "gear",
      "legs",
      "guards",
      "feet",
      "ground_gap",
      "mast",
      "payload_rail",
      "plates",
      "payload_room",
      "rod_screw",
      "seat",
      "seat_threads",
    ]),
    ledger("The flight controller's elastic standoffs, where its seat is damped", "standoffs"),
    () => checkList((results()?.checks ?? []).filter(({ group }) => group === "fit")),
  ],
};
