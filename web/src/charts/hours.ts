/** Hours flown by each copy aboard, against the ages at which to look at it and to retire it. */

import type { PartLife, Summary } from "../api/breaking";
import { logbook } from "../state/logbook";
import { kindWords } from "../words/chances";
import { axis, type Chart, type Inks } from "./base";

const SHOWN = 12; // bars that a chart of this height can label
const HOUR = 3600;

export const hoursChart: Chart = {
  title: "Hours of each part aboard",
  lead: () =>
    "A bar is a copy with its hours; the first mark says when to look at it, the second when to retire it.",
  height: 320,
  empty: "No part with a serial is aboard yet.",
  option: (inks) => {
    const found = logbook()?.summary;
    const lives = aboard(found?.lives ?? []);
    return found && lives.length ? optionOf(found, lives, inks) : null;
  },
};

/** Those that fly, the oldest first. */
export function aboard(lives: readonly PartLife[]): PartLife[] {
  return lives
    .filter(({ removed }) => !removed)
    .sort((a, b) => b.seconds - a.seconds)
    .slice(0, SHOWN);
}

function optionOf(found: Summary, lives: PartLife[], inks: Inks): Record<string, unknown> {
  const upward = [...lives].reverse();
  const ages = new Map(found.parts.map((part) => [part.part, part]));
  const marks = (of: "look_s" | "retire_s") =>
    upward.map((life, k) => [(ages.get(life.part)?.[of] ?? NaN) / HOUR, k]);
  const mark = (name: string, of: "look_s" | "retire_s", color: string) => ({
    type: "scatter",
    name,
    symbol: "rect",
    symbolSize: [3, 18],
    itemStyle: { color },
    data: marks(of),
    tooltip: { valueFormatter: (value: unknown) => hoursText(value) },
  });
  return {
    grid: { left: 132, right: 24, top: 34, bottom: 42, outerBoundsMode: "none" },
    legend: { top: 0, left: 0, itemHeight: 11, textStyle: { color: inks.ink, fontSize: 12 } },
    xAxis: axis(inks, "h flown", { type: "value", min: 0 }),
    yAxis: axis(inks, "", {
      type: "category",
      data: upward.map(({ serial, part }) => `${serial}  ${kindWords(part)}`),
      splitLine: { show: false },
      axisTick: { show: false },
      axisLabel: { color: inks.ink, fontSize: 12, width: 122, overflow: "truncate" },
    }),
    series: [
      {
        type: "bar",
        name: "flown",
        barWidth: 11,
        itemStyle: { color: inks.series[1] },
        data: upward.map(({ seconds }) => seconds / HOUR),
        tooltip: { valueFormatter: (value: unknown) => hoursText(value) },
      },
      mark("look at it", "look_s", inks.near),
      mark("retire it", "retire_s", inks.bad),
    ],
  };
}

function hoursText(value: unknown): string {
  const hours = Array.isArray(value) ? value[0] : value;
  return `${Number(hours).toFixed(1)} h`;
}
