/** Tables whose rows pick parts in the picture, and are picked from it. */

import type { Table } from "../api/types";
import { type Child, h } from "../kit/dom";
import { isPicked, pick } from "../state/picked";
import { column, digits } from "../words/units";

export interface Column {
  head: string;
  number?: boolean;
}

export interface Row {
  cells: Child[];
  /** Part keys that the row speaks of. */
  keys?: readonly string[];
  tone?: string;
}

export function table(
  caption: string,
  columns: readonly Column[],
  rows: readonly Row[],
): HTMLElement {
  const heads = columns.map(({ head, number }) =>
    h("th", { scope: "col", class: number ? "n" : "" }, head),
  );
  return h(
    "div",
    { class: "table", tabindex: 0, role: "region", "aria-label": caption },
    h(
      "table",
      {},
      h("caption", {}, caption),
      h("thead", {}, h("tr", {}, heads)),
      h(
        "tbody",
        {},
        rows.map((row) => drawRow(row, columns)),
      ),
    ),
  );
}

function drawRow({ cells, keys, tone }: Row, columns: readonly Column[]): HTMLElement {
  const drawn = cells.map((cell, k) => h("td", { class: columns[k]?.number ? "n" : "" }, cell));
  if (!keys?.length) return h("tr", { class: tone }, drawn);
  return h(
    "tr",
    {
      class: () => `pickable ${tone ?? ""} ${isPicked(keys) ? "picked" : ""}`,
      tabindex: 0,
      "data-keys": keys.join(" "),
      "aria-selected": () => String(isPicked(keys)),
      onclick: () => pick(keys),
      onkeydown: (event: KeyboardEvent) => {
        if (event.key === "Enter" || event.key === " ") {
          event.preventDefault();
          pick(keys);
        }
      },
    },
    drawn,
  );
}

/** A table of the server's as it comes; the columns named in `under` stand below the first, small. */
export function servedTable(
  caption: string,
  given: Table,
  under: readonly string[] = [],
): HTMLElement {
  const all = given.columns.map((column, k) => ({ ...column, k }));
  const [first, ...rest] = all.filter(({ name }) => !under.includes(name));
  const below = all.filter(({ name }) => under.includes(name));
  const ways = given.columns.map(({ unit }) => column(unit));
  const text = (row: Table["rows"][number], k: number): string => cellText(row[k], ways[k]);
  const columns = [first!, ...rest].map(({ name, unit, k }) => ({
    head: unit && unit !== "1" ? `${name}, ${ways[k]?.to ?? unit.replaceAll("*", "·")}` : name,
    number: given.rows.some((row) => typeof row[k] === "number"),
  }));
  const rows = given.rows.map((row) => ({
    cells: [
      [text(row, first!.k), below.map(({ k }) => row[k] && h("small", {}, text(row, k)))],
      ...rest.map(({ k }) => text(row, k)),
    ],
  }));
  return table(caption, columns, rows);
}

/** A cell as text: numbers below 100 with three figures, larger ones with four. */
export function cellText(
  cell: string | number | boolean | null | undefined,
  way: { of(value: number): number } | null = null,
): string {
  if (typeof cell === "boolean") return cell ? "yes" : "no";
  if (typeof cell !== "number") return cell ?? "";
  if (way) return digits(way.of(cell));
  if (Number.isInteger(cell)) return String(cell).replace("-", "−");
  return digits(cell, Math.abs(cell) < 100 ? 3 : 4);
}
