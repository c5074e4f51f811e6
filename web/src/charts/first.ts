/** What broke first in each way to crash: one bar a way, split by the kind of part. */

import type { Crashed } from "../api/breaking";
import { crashed } from "../state/outcomes";
import { kindWords, percent } from "../words/chances";
import { capital } from "../words/verdict";
import { axis, type Chart, type Inks } from "./base";

const LABELLED = 8; // %; a narrower piece cannot carry its figure

export const firstChart: Chart = {
  title: "What goes first",
  lead: () => "Each bar is one way to crash, split by the part that broke first.",
  height: 300,
  empty: "Nothing has been crashed yet: press “Crash it” above.",
  option: (inks) => (crashed() ? optionOf(crashed()!, inks) : null),
};

/** Share of crashes in which each kind broke first, in percent, bar by bar from below. */
export function firstShares({ kinds, cases }: Crashed): { name: string; shares: number[] }[] {
  const upward = [...cases].reverse();
  const named = kinds.map((kind) => ({
    name: kindWords(kind),
    shares: upward.map(({ tolls }) => 100 * (tolls.find((t) => t.kind === kind)?.first ?? 0)),
  }));
  const nothing = { name: "Nothing", shares: upward.map((each) => 100 * each.nothing) };
  return [...named, nothing].filter(({ shares }) => shares.some((share) => share > 0));
}

function optionOf(found: Crashed, inks: Inks): Record<string, unknown> {
  const upward = [...found.cases].reverse();
  return {
    grid: { left: 148, right: 16, top: 52, bottom: 42, outerBoundsMode: "none" },
    legend: {
      top: 0,
      left: 0,
      itemWidth: 12,
      itemHeight: 12,
      itemGap: 14,
      textStyle: { color: inks.ink, fontSize: 12 },
    },
    xAxis: axis(inks, "% of crashes of that way", { type: "value", min: 0, max: 100 }),
    yAxis: axis(inks, "", {
      type: "category",
      data: upward.map((each) => `${capital(each.title)}\n${percent(each.share)} of crashes`),
      splitLine: { show: false },
      axisTick: { show: false },
      axisLabel: { color: inks.ink, fontSize: 12, lineHeight: 15 },
    }),
    series: firstShares(found).map(({ name, shares }, k) => piece(name, shares, k, inks)),
  };
}

function piece(name: string, shares: number[], k: number, inks: Inks): Record<string, unknown> {
  const nothing = name === "Nothing";
  return {
    type: "bar",
    name,
    stack: "first",
    barWidth: 20,
    itemStyle: {
      color: nothing ? inks.rule : inks.series[k % inks.series.length],
      borderColor: inks.paper,
      borderWidth: 1,
    },
    label: {
      show: true,
      color: nothing ? inks.ink : inks.paper,
      fontSize: 12,
      fontWeight: 600,
      formatter: ({ value }: { value: number }) => (value >= LABELLED ? value.toFixed(0) : ""),
    },
    tooltip: { valueFormatter: (value: number) => `${value.toFixed(1)} % of these crashes` },
    data: shares,
  };
}
