/** Layouts against one another: hover power against footprint; brushed ones stay in the table. */

import type { LayoutChoice } from "../api/types";
import { table } from "../bits/table";
import { signal } from "../kit/signal";
import { charts } from "../state/study";
import { scaled, unitOf, write } from "../words/units";
import { axis, type Chart, type Inks } from "./base";

const brushed = signal<readonly number[] | null>(null);

export const layoutsChart: Chart = {
  title: "Layouts compared",
  lead: () =>
    "Down and left is better; the line joins those that no other beats in both. Drag a box to keep only some in the table.",
  height: 320,
  empty:
    "One layout was asked for, so there is nothing to compare. Set the layout to “choose” to compare them all.",
  option: (inks) => {
    const list = charts()?.layouts ?? [];
    return list.length > 1 ? optionOf(list, inks) : null;
  },
  figures: () =>
    layoutTable((charts()?.layouts ?? []).filter((_, k) => !brushed() || brushed()!.includes(k))),
  wire: (chart) => {
    chart.on("brushSelected", (event) => {
      const batch = (
        event as { batch?: { selected: { dataIndex: number[] }[]; areas: unknown[] }[] }
      ).batch?.[0];
      brushed.set(batch?.areas.length ? (batch.selected[0]?.dataIndex ?? null) : null);
    });
    chart.dispatchAction({
      type: "takeGlobalCursor",
      key: "brush",
      brushOption: { brushType: "rect", brushMode: "single" },
    });
  },
};

/** Indices of those that no other beats in both figures, by the first. */
export function front(points: readonly (readonly [number, number])[]): number[] {
  const beaten = (k: number): boolean =>
    points.some(
      ([x, y], j) =>
        j !== k &&
        x <= points[k]![0] &&
        y <= points[k]![1] &&
        (x < points[k]![0] || y < points[k]![1]),
    );
  return points
    .map((_, k) => k)
    .filter((k) => !beaten(k))
    .sort((a, b) => points[a]![0] - points[b]![0]);
}

function optionOf(list: readonly LayoutChoice[], inks: Inks): Record<string, unknown> {
  const points = list.map((each): [number, number] => [
    scaled(each.footprint_m, "m"),
    each.hover_w,
  ]);
  return {
    brush: {
      brushLink: "all",
      xAxisIndex: 0,
      yAxisIndex: 0,
      throttleType: "debounce",
      throttleDelay: 80,
      outOfBrush: { colorAlpha: 0.25 },
      brushStyle: { color: "rgba(120,120,120,.12)", borderColor: inks.soft },
    },
    grid: { left: 58, right: 60, top: 16, bottom: 44, outerBoundsMode: "none" },
    xAxis: axis(inks, `footprint, ${unitOf("m")}`, { type: "value", scale: true }),
    yAxis: axis(inks, "hover power, W", { type: "value", scale: true, nameGap: 44 }),
    series: [
      {
        type: "scatter",
        data: list.map((each, k) => ({
          value: points[k],
          symbolSize: each.chosen ? 17 : 12,
          itemStyle: {
            color: each.chosen ? inks.series[0] : inks.series[1],
            borderColor: inks.ink,
            borderWidth: each.chosen ? 2 : 0,
          },
          label: {
            show: true,
            formatter: each.kind,
            position: "right",
            color: inks.ink,
            fontSize: 11,
          },
        })),
        tooltip: { formatter: ({ dataIndex }: { dataIndex: number }) => wordsOf(list[dataIndex]!) },
      },
      {
        type: "line",
        data: front(points).map((k) => points[k]),
        symbol: "none",
        silent: true,
        lineStyle: { color: inks.soft, type: [4, 4], width: 1 },
      },
    ],
  };
}

function wordsOf(each: LayoutChoice): string {
  return `${each.kind}: ${write(each.hover_w, "W")} in hover, ${write(each.endurance_s, "min")}, thrust ${each.thrust_margin.toFixed(2)} × weight. ${each.reason}`;
}

export function layoutTable(list: readonly LayoutChoice[]): HTMLElement {
  const columns = [
    { head: "layout" },
    { head: "rotors", number: true },
    { head: "hover", number: true },
    { head: "time", number: true },
    { head: "thrust over weight", number: true },
    { head: "footprint", number: true },
    { head: "why" },
  ];
  const rows = list.map((each) => ({
    cells: [
      each.kind,
      each.rotors,
      write(each.hover_w, "W"),
      write(each.endurance_s, "min"),
      each.thrust_margin.toFixed(2),
      write(each.footprint_m, "m"),
      each.reason,
    ],
    tone: each.chosen ? "strong" : "",
  }));
  return table("Layouts, before their frames are sized", columns, rows);
}
