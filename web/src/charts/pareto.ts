/** The sweep's front: hover time against room, finalists by their letters; brushing keeps a part. */

import { table } from "../bits/table";
import { h } from "../kit/dom";
import { signal } from "../kit/signal";
import { type Compared, compared, type Finalist } from "../state/outcomes";
import { scaled, unitOf, write } from "../words/units";
import { axis, type Chart, type Inks } from "./base";

const brushed = signal<readonly number[] | null>(null);
const LOST = [
  "a lost rotor brings it down",
  "a lost rotor: level, without heading",
  "a lost rotor: heading kept",
];

export const paretoChart: Chart = {
  title: "What the sweep found",
  lead: () => {
    const found = compared();
    return found
      ? `${found.record.swept} candidates, ${found.record.hovering} of them hover. Up and left is better; letters are frames sized in full. Drag a box to list only some.`
      : "";
  },
  height: 340,
  empty: "Run the comparison to see every layout, propeller and pack against one another.",
  option: (inks) => (compared() ? optionOf(compared()!, inks) : null),
  figures: () =>
    compared() ? [finalistTable(compared()!.record.finalists), frontTable(compared()!)] : null,
  wire: (chart) => {
    chart.on("brushSelected", (event) => {
      const batch = (
        event as {
          batch?: { selected: { dataIndex: number[]; seriesName: string }[]; areas: unknown[] }[];
        }
      ).batch?.[0];
      const found =
        batch?.selected.filter(({ seriesName }) => seriesName.startsWith("front")) ?? [];
      brushed.set(
        batch?.areas.length
          ? found.flatMap(({ dataIndex }, k) => dataIndex.map((at) => rowOf(k, at)))
          : null,
      );
    });
    chart.dispatchAction({
      type: "takeGlobalCursor",
      key: "brush",
      brushOption: { brushType: "rect", brushMode: "single" },
    });
  },
};

/** Rows of the front by how a lost rotor ends: one series each, told apart by shape too. */
export function byLoss(front: Compared["front"]): number[][] {
  const lost = front["rotor_lost"] ?? [];
  return LOST.map((_, kind) =>
    lost
      .map((each, k) => [each, k] as const)
      .filter(([each]) => each === kind)
      .map(([, k]) => k),
  );
}

function rowOf(series: number, at: number): number {
  return byLoss(compared.peek()!.front)[series]?.[at] ?? -1;
}

function optionOf({ record, front }: Compared, inks: Inks): Record<string, unknown> {
  const point = (across: number, seconds: number): [number, number] => [
    scaled(across, "m"),
    seconds / 60,
  ];
  return {
    legend: {
      top: 0,
      left: 40,
      itemWidth: 11,
      itemHeight: 11,
      textStyle: { color: inks.ink, fontSize: 11 },
      itemGap: 10,
      orient: "vertical",
      backgroundColor: "transparent",
    },
    brush: {
      brushLink: "all",
      xAxisIndex: 0,
      yAxisIndex: 0,
      throttleType: "debounce",
      throttleDelay: 80,
      outOfBrush: { colorAlpha: 0.2 },
      brushStyle: { color: "rgba(120,120,120,.12)", borderColor: inks.soft },
    },
    grid: { left: 50, right: 20, top: 66, bottom: 44, outerBoundsMode: "none" },
    xAxis: axis(inks, `across the propellers, ${unitOf("m")}`, { type: "value", scale: true }),
    yAxis: axis(inks, "hover time, min", { type: "value", scale: true, nameGap: 34 }),
    series: [
      ...byLoss(front).map((rows, kind) => ({
        type: "scatter",
        name: `front: ${LOST[kind]}`,
        symbol: ["triangle", "rect", "circle"][kind],
        symbolSize: 7,
        itemStyle: { color: inks.series[[0, 2, 1][kind]!], opacity: 0.75 },
        data: rows.map((k) => point(front["footprint"]![k]!, front["endurance"]![k]!)),
      })),
      {
        type: "scatter",
        name: "sized in full",
        symbolSize: 20,
        itemStyle: { color: inks.sheet, borderColor: inks.ink, borderWidth: 2 },
        data: record.finalists.map((each) => ({
          value: point(each.footprint, each.flying.endurance.value),
          name: each.key,
        })),
        label: { show: true, formatter: "{b}", color: inks.ink, fontWeight: "bold", fontSize: 11 },
        z: 5,
      },
    ],
  };
}

function finalistTable(list: readonly Finalist[]): HTMLElement {
  const columns = [
    { head: "" },
    { head: "layout, what it gains and gives up" },
    { head: "hover", number: true },
    { head: "all-up", number: true },
    { head: "frame", number: true },
    { head: "across", number: true },
  ];
  const rows = list.map((each) => ({
    cells: [
      each.key,
      [
        each.kind,
        h("small", {}, `${each.propeller}; ${each.pack}`),
        h("small", {}, [...each.gains, ...each.gives_up].join("; ")),
      ],
      write(each.flying.endurance.value, "min"),
      write(each.all_up_mass, "kg"),
      write(each.frame_mass, "g"),
      write(each.footprint, "mm"),
    ],
    tone: each.holds ? "" : "faint",
  }));
  return table("Frames sized in full (pale: some limit or wish is missed)", columns, rows);
}

const LISTED = 40; // rows that one can still read through

function frontTable({ front, kinds }: Compared): HTMLElement {
  const all = front["candidate"]?.map((_, k) => k) ?? [];
  const rows = (brushed() ?? all).filter((k) => k >= 0).slice(0, LISTED);
  const columns = [
    { head: "layout" },
    { head: "hover", number: true },
    { head: "all-up", number: true },
    { head: "thrust over weight", number: true },
    { head: "across", number: true },
  ];
  return table(
    `The front${brushed() ? ", as brushed" : ""}: ${rows.length} of ${all.length}`,
    columns,
    rows.map((k) => ({
      cells: [
        kinds[k] ?? front["candidate"]![k]!,
        write(front["endurance"]![k]!, "min"),
        write(front["all_up_mass"]![k]!, "kg"),
        front["thrust_margin"]![k]!.toFixed(2),
        write(front["footprint"]![k]!, "mm"),
      ],
    })),
  );
}
