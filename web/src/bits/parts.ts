/** Printed parts as a table that picks them in the picture. */

import { h } from "../kit/dom";
import { tables } from "../state/study";
import { digits, scaled, unitOf, write } from "../words/units";
import { capital } from "../words/verdict";
import { table } from "./table";

type Cell = (name: string) => string | number | boolean | null | undefined;

/** The server's table of parts, its lengths and masses in the reader's units. */
export function partsTable(): HTMLElement {
  const given = tables().get("parts");
  if (!given) return h("p", { class: "empty" }, "Parts come with the first sizing.");
  const columns = [
    { head: "part, and how it lies on the bed" },
    { head: "number", number: true },
    { head: "of" },
    { head: "each", number: true },
  ];
  const rows = given.rows.map((row) => {
    const cell: Cell = (name) => row[given.columns.findIndex((column) => column.name === name)];
    return { cells: cellsOf(cell), keys: [String(cell("key"))] };
  });
  return table("Press a row to find the part in the picture", columns, rows);
}

function cellsOf(cell: Cell) {
  const size = ["length", "width", "height"].map((name) =>
    digits(scaled(Number(cell(name)) / 1e3, "mm")),
  );
  const fits = cell("fits bed") === false ? " Does not fit the bed." : "";
  return [
    [
      capital(String(cell("name"))),
      h("small", {}, `${size.join(" × ")} ${unitOf("mm")}; ${String(cell("note") ?? "")}.${fits}`),
    ],
    Number(cell("quantity")),
    String(cell("material")),
    write(Number(cell("mass each")) / 1e3, "g"),
  ];
}
