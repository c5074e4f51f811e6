/** Print it: which way each part lies, what it weighs, whether it fits the bed. */

import { checkList } from "../bits/checks";
import { partsTable } from "../bits/parts";
import { h } from "../kit/dom";
import { results } from "../state/study";
import { FRAME } from "./asked";
import { folded, ledger, type Page, section } from "./page";

export const print: Page = {
  key: "print",
  question: "Print it",
  groups: ["fit"],
  body: () => [
    h(
      "p",
      { class: "lead" },
      "Each part is written in the position it prints in; the note says which face lies down and why. Print one arm first, load it, tap it, then print the rest.",
    ),
    section("What to print", () => partsTable()),
    section("Does it fit the printer?", () =>
      checkList(
        (results()?.checks ?? []).filter(({ key }) => key.startsWith("bed-")),
        true,
      ),
    ),
    ledger("The bed", "printer", ["bed_length", "bed_width", "height", "nozzle", "layer"]),
    folded("Fits and holes", "frame", FRAME.fits),
  ],
};
