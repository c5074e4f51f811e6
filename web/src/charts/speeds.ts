/** Modes against the speeds that the rotors turn at, over throttle. */

import type { Mode, Speeds } from "../api/types";
import { h } from "../kit/dom";
import { mode as shownMode } from "../state/picture";
import { charts } from "../state/study";
import { digits, write } from "../words/units";
import { capital } from "../words/verdict";
import { table } from "../bits/table";
import { axis, type Chart, type Inks } from "./base";

const LEAST_FELT = 0.01; // m/s²; less is nothing beside the rotors’ own shaking

export const speedsChart: Chart = {
  title: "Modes against rotor speed",
  lead: () => leadOf(charts()?.speeds ?? null),
  height: 380,
  empty: "No frame has been worked out yet: size one first.",
  option: (inks) => {
    const speeds = charts()?.speeds;
    return speeds ? optionOf(speeds, inks) : null;
  },
  wire: (chart) => {
    chart.on("click", (event) => {
      const found = charts.peek()?.speeds?.modes[Number((event.data as { k?: number } | null)?.k)];
      if (found) shownMode.set({ of: found.of, index: found.mode });
    });
  },
};

function leadOf(speeds: Speeds | null): string {
  if (!speeds) return "";
  const hover = speeds.hover[0];
  const count = speeds.modes.filter(({ matters }) => matters).length;
  const clash = speeds.modes.filter(
    (each) =>
      each.matters &&
      speeds.bands.some(({ low_hz: low, high_hz: high }) => each.hz > low && each.hz < high),
  ).length;
  const where = hover ? `In hover the rotors turn ${digits(hover.once_hz)} times a second. ` : "";
  const felt = count === 1 ? "the one mode that is felt" : `${count} modes that are felt`;
  if (!count) return `${where}No mode is felt at the flight controller.`;
  const said = clash
    ? `${clash} of ${felt} in`
    : `${capital(felt)} ${count === 1 ? "stays" : "stay"} out of`;
  return `${where}${said} the bands to keep clear.`;
}

function optionOf(speeds: Speeds, inks: Inks): Record<string, unknown> {
  const percent = speeds.throttle.map((share) => 100 * share);
  const most = Math.max(...speeds.blade_hz) * 1.1; // nothing turns faster than that
  const along = (hz: number[]): number[][] => hz.map((each, k) => [percent[k]!, each]);
  return {
    grid: { left: 52, right: 20, top: 24, bottom: 44, outerBoundsMode: "none" },
    xAxis: axis(inks, "throttle, %", { type: "value", min: 0, max: 100 }),
    yAxis: axis(inks, "Hz", { type: "value", min: 0, max: Math.ceil(most / 20) * 20, nameGap: 36 }),
    series: [
      line("once per turn", along(speeds.once_hz), inks.ink, "solid", 2.4, {
        markArea: bands(speeds, inks),
        markLine: guides(speeds, inks),
      }),
      line(`blade pass (${speeds.blades} blades)`, along(speeds.blade_hz), inks.ink, [7, 4], 1.8),
      ...speeds.modes
        .map((each, k) => ({ each, k }))
        .filter(({ each }) => each.hz < most)
        .map(({ each, k }) => modeLine(each, k, inks)),
      hoverPoints(speeds, inks),
    ],
  };
}

function line(
  name: string,
  data: number[][],
  color: string,
  type: string | number[],
  width: number,
  more: Record<string, unknown> = {},
): Record<string, unknown> {
  const end = {
    show: true,
    formatter: name,
    color,
    position: "insideTopRight",
    offset: [-64, -6],
    fontSize: 12,
  };
  return {
    type: "line",
    name,
    data,
    symbol: "none",
    lineStyle: { color, type, width },
    endLabel: { ...end, align: "right", offset: [-40, -2] },
    z: 4,
    ...more,
  };
}

function bands({ bands: list }: Speeds, inks: Inks): Record<string, unknown> {
  return {
    silent: false,
    itemStyle: { color: inks.bad, opacity: 0.11 },
    label: { show: true, position: "insideTopRight", color: inks.bad, fontSize: 11, distance: 4 },
    data: list.map((band) => [{ yAxis: band.low_hz, name: "keep clear" }, { yAxis: band.high_hz }]),
  };
}

function guides({ hover, bandwidth }: Speeds, inks: Inks): Record<string, unknown> {
  const label = { color: inks.soft, fontSize: 11 };
  return {
    silent: true,
    symbol: "none",
    data: [
      ...hover.map(({ name, throttle }) => ({
        xAxis: 100 * throttle,
        lineStyle: { color: inks.soft, type: [2, 3] },
        label: { ...label, formatter: name, position: "end", rotate: 0 },
      })),
      {
        yAxis: bandwidth.wanted_hz,
        lineStyle: { color: inks.near, type: [2, 3], width: 1.5 },
        label: {
          ...label,
          color: inks.near,
          formatter: "control needs modes above this",
          position: "insideEndBottom",
        },
      },
    ],
  };
}

function modeLine(each: Mode, k: number, inks: Inks): Record<string, unknown> {
  const name = `${digits(each.hz)} Hz, ${each.label}`;
  return {
    type: "line",
    name,
    data: [
      { value: [0, each.hz], k },
      { value: [100, each.hz], k },
    ],
    symbol: "none",
    triggerLineEvent: true,
    cursor: "pointer",
    lineStyle: {
      color: each.matters ? inks.series[0] : inks.soft,
      width: each.matters ? 2 : 1,
      opacity: each.matters ? 1 : 0.45,
    },
    emphasis: { lineStyle: { width: 3, opacity: 1 } },
    tooltip: { formatter: `${name}${each.matters ? ", felt at the controller" : ""}` },
    z: 3,
  };
}

function hoverPoints({ hover }: Speeds, inks: Inks): Record<string, unknown> {
  return {
    type: "scatter",
    symbolSize: 10,
    itemStyle: { color: inks.sheet, borderColor: inks.ink, borderWidth: 2 },
    data: hover.flatMap((each) => [
      { value: [100 * each.throttle, each.once_hz], name: each.name },
      { value: [100 * each.throttle, each.blade_hz], name: each.name },
    ]),
    z: 6,
    tooltip: {
      formatter: (point: { name: string; value: number[] }) =>
        `${point.name}: ${digits(point.value[1]!)} Hz at ${digits(point.value[0]!)} %`,
    },
  };
}

/** Modes of the whole airframe and of one arm held by the plates, a table each. */
function modeTable(modes: readonly Mode[]): HTMLElement[] {
  const of = [...new Set(modes.map((each) => each.of))];
  const titles: Record<string, string> = {
    airframe: "The whole airframe, free; bold where the flight controller would feel it",
    arm: "One arm with its motor, the plates held",
  };
  return of.map((each) =>
    modesOf(
      titles[each] ?? each,
      modes.filter((mode) => mode.of === each),
    ),
  );
}

function modesOf(title: string, modes: readonly Mode[]): HTMLElement {
  const columns = [
    { head: "Hz", number: true },
    { head: "what moves" },
    { head: "felt", number: true },
    { head: "swing" },
  ];
  const rows = alike(modes).map((each) => ({
    cells: [
      digits(each.hz) === digits(each.high_hz)
        ? digits(each.hz)
        : `${digits(each.hz)} to ${digits(each.high_hz)}`,
      each.count > 1 ? `${each.label} (${each.count})` : each.label,
      feltWords(each),
      swing(each),
    ],
    tone: each.matters ? "strong" : "",
  }));
  return table(title, columns, rows);
}

function feltWords({ of, felt }: Mode): string {
  if (of === "arm") return "–";
  return felt < LEAST_FELT ? `under ${write(LEAST_FELT, "m/s^2", 1)}` : write(felt, "m/s^2", 2);
}

/** Neighbours in which the same moves, as one line: arms of a flat frame come in sixes. */
export function alike(modes: readonly Mode[]): Mode[] {
  const lines: Mode[] = [];
  for (const each of modes) {
    const last = lines.at(-1);
    const same =
      last && last.label === each.label && last.matters === each.matters && last.of === each.of;
    if (same && each.hz <= last.hz * 1.05) {
      lines[lines.length - 1] = {
        ...last,
        count: last.count + each.count,
        high_hz: Math.max(each.hz, each.high_hz ?? 0),
        felt: Math.max(last.felt, each.felt),
      };
    } else lines.push({ ...each, count: each.count ?? 1, high_hz: each.high_hz ?? each.hz });
  }
  return lines;
}

function swing(each: Mode): HTMLElement {
  const on = (): boolean => shownMode()?.of === each.of && shownMode()?.index === each.mode;
  return h(
    "button",
    {
      type: "button",
      class: "quiet",
      "aria-pressed": () => String(on()),
      "aria-label": `Show how it moves at ${digits(each.hz)} Hz`,
      onclick: () => shownMode.set(on() ? null : { of: each.of, index: each.mode }),
    },
    () => (on() ? "Stop" : "Show"),
  );
}

export { modeTable };
