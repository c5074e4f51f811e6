/** The pack over a hover: voltage as it falls, and the time that was asked for. */

import type { Discharge } from "../api/types";
import { get } from "../api/client";
import { later } from "../kit/later";
import { derived, effect, signal } from "../kit/signal";
import { brief, busy, results } from "../state/study";
import { digits } from "../words/units";
import { axis, type Chart, type Inks } from "./base";

const PAUSE = 300; // ms without a further edit; the curve takes the server a moment
const curve = signal<Discharge | null>(null);

/** Ask for the curve again whenever the brief has changed; only while the chart is on a page. */
export function followDischarge(): void {
  const frame = derived(() => Boolean(results()?.checks.length));
  const ask = later(PAUSE, askForCurve, busy.peek);
  effect(() => {
    if (brief()?.hash && frame()) ask();
    else curve.set(null);
  });
}

function askForCurve(): void {
  const hash = brief.peek()?.hash;
  get<Discharge>("/api/charts/discharge")
    .then((found) => brief.peek()?.hash === hash && curve.set(found))
    .catch(() => curve.set(null));
}

export const dischargeChart: Chart = {
  title: "The pack over one hover",
  lead: () => leadOf(curve()),
  height: 240,
  empty: "The discharge curve comes with the first frame.",
  option: (inks) => {
    const found = curve();
    return found ? optionOf(found, inks) : null;
  },
};

function leadOf(found: Discharge | null): string {
  if (!found) return "";
  const end = digits((found.time_s.at(-1) ?? 0) / 60);
  return `It hovers ${end} min until the ${found.ended_by} ends it; ${digits(found.wanted_s / 60)} min were asked for.`;
}

function optionOf(found: Discharge, inks: Inks): Record<string, unknown> {
  const minutes = found.time_s.map((s) => s / 60);
  return {
    grid: { left: 52, right: 20, top: 16, bottom: 44, outerBoundsMode: "none" },
    tooltip: {
      trigger: "axis",
      confine: true,
      backgroundColor: inks.sheet,
      borderColor: inks.rule,
      textStyle: { color: inks.ink },
      formatter: (points: { dataIndex: number }[]) => wordsAt(found, points[0]!.dataIndex),
    },
    xAxis: axis(inks, "min", { type: "value", min: 0 }),
    yAxis: axis(inks, "V", { type: "value", scale: true, nameGap: 36 }),
    series: [
      {
        type: "line",
        data: minutes.map((minute, k) => [minute, found.voltage[k]]),
        symbol: "none",
        lineStyle: { width: 2.4, color: inks.series[1] },
        markLine: {
          silent: true,
          symbol: "none",
          lineStyle: { color: inks.near, type: [4, 3] },
          label: {
            formatter: "asked for",
            color: inks.near,
            position: "insideEndTop",
            fontSize: 12,
          },
          data: [{ xAxis: found.wanted_s / 60 }],
        },
      },
    ],
  };
}

function wordsAt(found: Discharge, k: number): string {
  return `${digits(found.time_s[k]! / 60)} min: ${digits(found.voltage[k]!, 4)} V, ${digits(found.current[k]!)} A`;
}
