/** Predicted against measured: on the line they agree; whiskers are one standard uncertainty. */

import type { Measured } from "../api/types";
import { table } from "../bits/table";
import { num, write } from "../words/units";
import { axis, type Chart, type Inks } from "./base";

/** Rows from the bench, or beams against solids: the same chart, other words. */
export function measuredChart(
  title: string,
  by: string,
  rows: () => readonly Measured[] | null,
  empty: string,
): Chart {
  return {
    title,
    lead: () => leadOf(rows() ?? [], by),
    height: 300,
    empty,
    option: (inks) => (rows()?.length ? optionOf(rows()!, by, inks) : null),
    figures: () => measuredTable(rows() ?? [], by),
  };
}

function leadOf(rows: readonly Measured[], by: string): string {
  if (!rows.length) return "";
  const ratios = rows.map(ratio).filter(Number.isFinite);
  const worst = ratios.reduce(
    (far, each) => (Math.abs(each - 1) > Math.abs(far - 1) ? each : far),
    1,
  );
  return `${by} over predicted, each in its own unit; 1 is agreement. Farthest: ${worst.toFixed(2)}.`;
}

export function ratio({ predicted, measured }: Measured): number {
  return num(measured) / num(predicted);
}

/** Relative uncertainties add as squares for a quotient (GUM, JCGM 100:2008, 5.1.6). */
export function spreadOf({ predicted_spread: p, measured_spread: m }: Measured): number {
  return Math.hypot(p ?? 0, m ?? 0);
}

function optionOf(rows: readonly Measured[], by: string, inks: Inks): Record<string, unknown> {
  const upward = [...rows].reverse();
  const names = upward.map(({ what }) => what);
  return {
    grid: { left: 190, right: 24, top: 16, bottom: 44, outerBoundsMode: "none" },
    xAxis: axis(inks, `${by.toLowerCase()} over predicted`, { type: "value", scale: true }),
    yAxis: axis(inks, "", {
      type: "category",
      data: names,
      splitLine: { show: false },
      axisLabel: { color: inks.ink, fontSize: 12, width: 178, overflow: "truncate" },
    }),
    series: [
      {
        type: "scatter",
        symbolSize: 11,
        itemStyle: { color: inks.series[1] },
        data: upward.map((row, k) => [ratio(row), k]),
        markLine: {
          silent: true,
          symbol: "none",
          lineStyle: { color: inks.ink, type: "solid" },
          label: { show: false },
          data: [{ xAxis: 1 }],
        },
      },
      ...upward.map((row, k) => ({
        type: "line",
        silent: true,
        symbol: "none",
        lineStyle: { color: inks.series[1], width: 2, opacity: 0.6 },
        data: [-1, 1].map((side) => [ratio(row) * (1 + side * spreadOf(row)), k]),
      })),
    ],
  };
}

function measuredTable(rows: readonly Measured[], by: string): HTMLElement {
  const columns = [
    { head: "what" },
    { head: "predicted", number: true },
    { head: by.toLowerCase(), number: true },
    { head: "ratio", number: true },
    { head: "date" },
  ];
  return table(
    "Predicted and found",
    columns,
    rows.map((row) => ({
      cells: [
        row.what,
        write(num(row.predicted), row.shown),
        write(num(row.measured), row.shown),
        ratio(row).toFixed(3),
        row.date,
      ],
    })),
  );
}
