/** Arms sized in every family and material: mass against how far the tip gives. */

import type { Alternative } from "../api/types";
import { table } from "../bits/table";
import { edit } from "../state/edits";
import { charts, results } from "../state/study";
import { scaled, unitOf, write } from "../words/units";
import { axis, type Chart, type Inks } from "./base";

const SHAPES = ["circle", "rect", "triangle", "diamond", "pin", "arrow"];

export const alternativesChart: Chart = {
  title: "Arms compared: mass against give",
  lead: () => {
    const stale = results()?.stale.includes("alternatives");
    return `Down and left is better. Press a point to ask for that arm.${stale ? " These are of the last sizing." : ""}`;
  },
  height: 320,
  empty: "Nothing has been sized yet: run a sizing to compare families and materials.",
  option: (inks) => {
    const list = (charts()?.alternatives ?? []).filter(({ feasible }) => feasible);
    return list.length ? optionOf(list, inks) : null;
  },
  figures: () => alternativesTable(charts()?.alternatives ?? []),
  wire: (chart) => {
    chart.on("click", (event) => {
      const one = (event.data as { of?: Alternative } | null)?.of;
      if (one) void choose(one);
    });
  },
};

function choose({ family, material }: Alternative): Promise<boolean> {
  return edit([
    { path: "frame.arm_family", value: family },
    { path: "frame.material", value: material },
  ]);
}

/** How far the tip gives, m or rad: deflection where all have one, otherwise the tilt. */
function giveOf(list: readonly Alternative[]): {
  of(each: Alternative): number;
  shown: string;
  name: string;
} {
  if (list.every(({ deflection }) => typeof deflection === "number")) {
    return {
      of: ({ deflection }) => deflection!,
      shown: "mm",
      name: "tip deflection at full thrust",
    };
  }
  return { of: ({ tilt_rad: tilt }) => tilt, shown: "deg", name: "motor tilt at full thrust" };
}

function optionOf(list: readonly Alternative[], inks: Inks): Record<string, unknown> {
  const give = giveOf(list);
  const materials = [...new Set(list.map(({ material }) => material))];
  const families = [...new Set(list.map(({ family }) => family))];
  const series = materials.map((material, k) => ({
    type: "scatter",
    name: material,
    labelLayout: { moveOverlap: "shiftY" },
    itemStyle: { color: inks.series[k % inks.series.length] },
    data: list
      .filter((each) => each.material === material)
      .map((each) => ({
        value: [scaled(each.arm_kg, "g"), scaled(give.of(each), give.shown)],
        symbol: SHAPES[families.indexOf(each.family) % SHAPES.length],
        symbolSize: each.chosen ? 17 : 12,
        itemStyle: each.chosen ? { borderColor: inks.ink, borderWidth: 2 } : {},
        label: {
          show: true,
          formatter: each.family,
          position: "right",
          color: inks.soft,
          fontSize: 11,
        },
        of: each,
      })),
    tooltip: { formatter: ({ data }: { data: { of: Alternative } }) => wordsOf(data.of) },
  }));
  return {
    legend: { top: 0, left: 44, icon: "roundRect", itemWidth: 12, textStyle: { color: inks.ink } },
    grid: { left: 56, right: 46, top: 34, bottom: 44, outerBoundsMode: "none" },
    xAxis: axis(inks, `one arm, ${unitOf("g")}`, { type: "value", scale: true }),
    yAxis: axis(inks, `${give.name}, ${unitOf(give.shown)}`, {
      type: "value",
      scale: true,
      nameGap: 42,
    }),
    series,
  };
}

function wordsOf(each: Alternative): string {
  return `${each.family}, ${each.material_name}: arm ${write(each.arm_kg, "g")}, first mode ${write(each.first_mode_hz, "Hz")}. ${each.worst}`;
}

export function alternativesTable(list: readonly Alternative[]): HTMLElement {
  const columns = [
    { head: "arm" },
    { head: "material" },
    { head: "one arm", number: true },
    { head: "frame", number: true },
    { head: "first mode", number: true },
    { head: "nearest limit" },
  ];
  const rows = list.map((each) => ({
    cells: [
      each.family,
      each.material_name || each.material,
      each.feasible ? write(each.arm_kg, "g") : "–",
      each.feasible ? write(each.frame_kg, "g") : "–",
      each.feasible ? write(each.first_mode_hz, "Hz") : "–",
      each.worst,
    ],
    tone: each.chosen ? "strong" : each.feasible ? "" : "faint",
  }));
  return table("Arm families and materials, all sized the same way", columns, rows);
}
