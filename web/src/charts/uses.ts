/** Utilisation by check: the worst first, the limit as a line. */

import type { UseBar } from "../api/types";
import { openCheck } from "../state/picked";
import { charts } from "../state/study";
import { num } from "../words/units";
import { capital, TONE } from "../words/verdict";
import { axis, type Chart, type Inks } from "./base";

const SHOWN = 11; // bars that a chart of this height can label

export const useChart: Chart = {
  title: "How much of each limit is used",
  lead: () => "The checks nearest to their limits; each bar is the worst of its load cases.",
  height: 400,
  empty: "No checks yet: size a frame first.",
  option: (inks) => {
    const bars = worstBars(charts()?.use ?? []);
    return bars.length ? optionOf(bars, inks) : null;
  },
  wire: (chart) => {
    chart.on("click", (event) => openCheck.set((event.data as { id?: string } | null)?.id ?? null));
  },
};

/** One bar for each question on each part, the largest use first. */
export function worstBars(bars: readonly UseBar[]): UseBar[] {
  const worst = new Map<string, UseBar>();
  for (const bar of bars) {
    const name = `${bar.label}|${bar.part}`;
    const known = worst.get(name);
    if (Number.isFinite(num(bar.use)) && (!known || num(bar.use) > num(known.use)))
      worst.set(name, bar);
  }
  return [...worst.values()].sort((a, b) => num(b.use) - num(a.use)).slice(0, SHOWN);
}

function optionOf(bars: readonly UseBar[], inks: Inks): Record<string, unknown> {
  const upward = [...bars].reverse();
  const tones = inks as unknown as Record<string, string>;
  return {
    grid: { left: 222, right: 30, top: 22, bottom: 40, outerBoundsMode: "none" },
    xAxis: axis(inks, "% of the limit", { type: "value", min: 0 }),
    yAxis: axis(inks, "", {
      type: "category",
      data: upward.map(({ label, part }) => `${capital(label)}\n${part}`),
      splitLine: { show: false },
      axisTick: { show: false },
      axisLabel: {
        color: inks.ink,
        fontSize: 11,
        lineHeight: 14,
        width: 214,
        overflow: "truncate",
      },
    }),
    series: [
      {
        type: "bar",
        barWidth: 10,
        data: upward.map((bar) => ({
          value: 100 * num(bar.use),
          id: bar.id,
          name: bar.label,
          itemStyle: { color: tones[TONE[bar.verdict]], opacity: bar.pending ? 0.4 : 1 },
        })),
        markLine: {
          silent: true,
          symbol: "none",
          lineStyle: { color: inks.ink, type: "solid", width: 1.5 },
          label: { formatter: "limit", color: inks.ink, fontSize: 11 },
          data: [{ xAxis: 100 }],
        },
        tooltip: { valueFormatter: (value: number) => `${value.toFixed(0)} % of the limit` },
      },
    ],
  };
}
