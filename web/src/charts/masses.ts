/** Where the mass is: one bar for each group, its lines as pieces. */

import type { MassGroup } from "../api/types";
import { table } from "../bits/table";
import { charts } from "../state/study";
import { scaled, unitOf, write } from "../words/units";
import { axis, type Chart, type Inks } from "./base";

export const massChart: Chart = {
  title: "Where the mass is",
  lead: () => leadOf(charts()?.masses ?? []),
  height: 250,
  empty: "No masses yet: size a frame first.",
  option: (inks) => {
    const groups = charts()?.masses ?? [];
    return groups.length ? optionOf(groups, inks) : null;
  },
  figures: () => massTable(charts()?.masses ?? []),
};

function leadOf(groups: readonly MassGroup[]): string {
  const whole = groups.reduce((sum, { kg }) => sum + kg, 0);
  const heaviest = groups.flatMap(({ lines }) => lines).sort((a, b) => b.kg - a.kg)[0];
  if (!heaviest) return "";
  return `${write(whole, "kg")} together; the heaviest line is ${heaviest.label}, ${write(heaviest.kg, "g")}.`;
}

function optionOf(groups: readonly MassGroup[], inks: Inks): Record<string, unknown> {
  const upward = [...groups].sort((a, b) => a.kg - b.kg);
  const most = Math.max(...upward.map(({ lines }) => lines.length));
  const names = upward.map(({ label }) => label);
  const pieces = Array.from({ length: most }, (_, k) => ({
    type: "bar",
    stack: "all",
    barWidth: 20,
    itemStyle: {
      color: inks.series[k % inks.series.length],
      borderColor: inks.paper,
      borderWidth: 1,
    },
    data: upward.map(({ lines }) => {
      const one = [...lines].sort((a, b) => b.kg - a.kg)[k];
      return one
        ? { value: scaled(one.kg, "g"), name: one.label, kg: one.kg, quantity: one.quantity }
        : { value: 0 };
    }),
  }));
  return {
    grid: { left: 150, right: 24, top: 12, bottom: 44, outerBoundsMode: "none" },
    xAxis: axis(inks, unitOf("g"), { type: "value" }),
    yAxis: axis(inks, "", {
      type: "category",
      data: names,
      splitLine: { show: false },
      axisLabel: { color: inks.ink, fontSize: 12, lineHeight: 14, width: 138, overflow: "break" },
    }),
    tooltip: {
      ...{ formatter: pieceWords },
      ...{
        trigger: "item",
        confine: true,
        backgroundColor: inks.sheet,
        borderColor: inks.rule,
        textStyle: { color: inks.ink },
      },
    },
    series: pieces,
  };
}

function pieceWords({ data }: { data: { name?: string; kg?: number; quantity?: number } }): string {
  return `${data.quantity && data.quantity > 1 ? `${data.quantity} × ` : ""}${data.name ?? ""}: ${write(data.kg ?? 0, "g")}`;
}

function massTable(groups: readonly MassGroup[]): HTMLElement {
  const columns = [
    { head: "what" },
    { head: "number", number: true },
    { head: "each", number: true },
    { head: "together", number: true },
  ];
  const rows = groups.flatMap((group) =>
    group.lines.map((line) => ({
      cells: [line.label, line.quantity, write(line.each_kg, "g"), write(line.kg, "g")],
    })),
  );
  return table("Masses", columns, rows);
}
