/** One way to draw every chart: the page's inks, a title, its figures as a table, a larger view. */

import { BarChart, LineChart, ScatterChart } from "echarts/charts";
import {
  AriaComponent,
  BrushComponent,
  GridComponent,
  LegendComponent,
  MarkAreaComponent,
  MarkLineComponent,
  MarkPointComponent,
  TooltipComponent,
} from "echarts/components";
import { type ECharts, init, use } from "echarts/core";
import { LabelLayout } from "echarts/features";
import { SVGRenderer } from "echarts/renderers";
import type { EChartsCoreOption } from "echarts/core";
import { type Child, h } from "../kit/dom";
import { effect, onEnd, signal } from "../kit/signal";
import { later } from "../kit/later";
import { calm, dark } from "../state/prefs";
import { busy } from "../state/study";

use([
  AriaComponent,
  BarChart,
  BrushComponent,
  GridComponent,
  LabelLayout,
  LegendComponent,
  LineChart,
  MarkAreaComponent,
  MarkLineComponent,
  MarkPointComponent,
  ScatterChart,
  SVGRenderer,
  TooltipComponent,
]);

/** ms without a change after which a chart is drawn again. */
const SETTLED = 160;

export interface Inks {
  paper: string;
  sheet: string;
  ink: string;
  soft: string;
  rule: string;
  good: string;
  near: string;
  bad: string;
  dunno: string;
  series: string[];
  font: string;
}

export interface Chart {
  title: string;
  /** What the chart answers, below its title. */
  lead?: () => string;
  height?: number;
  option(inks: Inks): EChartsCoreOption | null;
  /** What to do when there is nothing to draw. */
  empty: string;
  figures?(): Child;
  /** Hooks on the drawing, such as brushing or presses. */
  wire?(chart: ECharts): void;
}

/** The chart that takes the large picture's place; null: the airframe. */
export const enlarged = signal<Chart | null>(null);

export function inksOf(element: Element): Inks {
  const style = getComputedStyle(element);
  const ink = (name: string): string => style.getPropertyValue(`--${name}`).trim();
  const series = [1, 2, 3, 4, 5, 6].map((k) => ink(`series-${k}`));
  const names = ["paper", "sheet", "ink", "soft", "rule", "good", "near", "bad", "dunno"] as const;
  const inks = Object.fromEntries(names.map((name) => [name, ink(name)]));
  return { ...inks, series, font: style.fontFamily } as Inks;
}

export function chartBox(chart: Chart): HTMLElement {
  const larger = h(
    "button",
    {
      type: "button",
      class: "quiet",
      "aria-label": `Larger: ${chart.title}`,
      onclick: () => enlarged.set(chart),
    },
    "Larger",
  );
  return h(
    "figure",
    { class: "chart" },
    h(
      "figcaption",
      {},
      h("h3", {}, chart.title),
      larger,
      chart.lead && h("p", { class: "lead" }, chart.lead),
    ),
    drawing(chart, chart.height ?? 280),
    chart.figures && h("details", {}, h("summary", {}, "The figures"), chart.figures),
  );
}

export function drawing(chart: Chart, height: number | null): HTMLElement {
  const place = h("div", { class: "drawing", "aria-label": chart.title, role: "img" });
  if (height) place.style.height = `${height}px`;
  const none = h("p", { class: "empty" }, chart.empty);
  let drawn: ECharts | null = null;
  effect(draw, settled());
  function draw(): void {
    dark();
    const option = chart.option(inksOf(document.body));
    none.hidden = option !== null;
    place.hidden = option === null;
    if (!option) return;
    drawn ??= begin(place, chart, height);
    drawn.setOption(
      { ...common(inksOf(document.body)), ...option },
      { notMerge: true, lazyUpdate: true },
    );
  }
  const watcher = new ResizeObserver(() => fit(place, drawn));
  watcher.observe(place);
  onEnd(() => {
    watcher.disconnect();
    drawn?.dispose();
  });
  return h("div", { class: "drawn" }, place, none);
}

/** Puts drawing off until numbers have not moved for a while: they and their verdict come first. */
function settled(): (draw: () => void) => void {
  let wanted = (): void => undefined;
  const soon = later(SETTLED, () => wanted(), busy.peek);
  return (draw) => {
    wanted = draw;
    soon();
  };
}

/** Told in numbers: a chart made with a size keeps that size otherwise. */
function fit(place: HTMLElement, drawn: ECharts | null): void {
  const { clientWidth: width, clientHeight: height } = place;
  if (width && height) drawn?.resize({ width, height });
}

function begin(place: HTMLElement, chart: Chart, height: number | null): ECharts {
  const size = { width: place.clientWidth || 440, height: place.clientHeight || height || 280 };
  const drawn = init(place, null, { renderer: "svg", ...size });
  chart.wire?.(drawn);
  return drawn;
}

function common(inks: Inks): EChartsCoreOption {
  return {
    animation: !calm,
    animationDuration: 250,
    animationDurationUpdate: 180,
    color: inks.series,
    textStyle: { fontFamily: inks.font, fontSize: 12, color: inks.soft },
    grid: { left: 48, right: 16, top: 16, bottom: 42, outerBoundsMode: "none" },
    tooltip: tooltip(inks),
  };
}

export function tooltip(inks: Inks): Record<string, unknown> {
  return {
    trigger: "item",
    confine: true,
    backgroundColor: inks.sheet,
    borderColor: inks.rule,
    padding: [8, 12],
    textStyle: { color: inks.ink, fontFamily: inks.font, fontSize: 13 },
    extraCssText: "box-shadow:none;border-radius:2px;max-width:280px;white-space:normal",
  };
}

export function axis(
  inks: Inks,
  name: string,
  more: Record<string, unknown> = {},
): Record<string, unknown> {
  return {
    name,
    nameLocation: "middle",
    nameGap: 28,
    nameTextStyle: { color: inks.soft, fontSize: 12 },
    axisLine: { show: true, lineStyle: { color: inks.soft } },
    axisTick: { show: true, lineStyle: { color: inks.soft } },
    axisLabel: { color: inks.soft, fontSize: 12 },
    splitLine: { show: true, lineStyle: { color: inks.rule, width: 1, opacity: 0.6 } },
    ...more,
  };
}
