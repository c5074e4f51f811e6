import { describe, expect, it } from "vitest";
import type { Check, Mode, UseBar } from "../src/api/types";
import { together } from "../src/bits/checks";
import { front } from "../src/charts/layouts";
import { alike } from "../src/charts/speeds";
import { worstBars } from "../src/charts/uses";

describe("layouts on the front", () => {
  it("are those that no other beats in both", () => {
    expect(
      front([
        [1, 5],
        [2, 3],
        [3, 4],
        [4, 1],
        [4, 2],
      ]),
    ).toEqual([0, 1, 3]);
  });
  it("keep twins", () =>
    expect(
      front([
        [1, 1],
        [1, 1],
      ]),
    ).toEqual([0, 1]));
});

describe("bars of use", () => {
  const bar = (label: string, part: string, use: number | null): UseBar => ({
    id: `${label}${use}`,
    label,
    part,
    use,
    group: "",
    verdict: "holds",
    pending: false,
  });
  it("show the worst load case of each question, the largest first, those without a number not", () => {
    const found = worstBars([
      bar("tilt", "arms", 0.2),
      bar("tilt", "arms", 0.9),
      bar("tilt", "legs", 0.95),
      bar("overlap", "all", null),
    ]);
    expect(found.map(({ part, use }) => [part, use])).toEqual([
      ["legs", 0.95],
      ["arms", 0.9],
    ]);
  });
});

describe("checks put together", () => {
  const check = (id: string, verdict: string, use: number): Check =>
    ({ id, title: "strength", part: "arms", verdict, use }) as Check;
  it("stand under their worst, a failure before any use", () => {
    const [found] = together([
      check("a", "holds", 0.9),
      check("b", "fails", 0.5),
      check("c", "holds", 0.95),
    ]);
    expect([found!.worst.id, ...found!.others.map(({ id }) => id)]).toEqual(["b", "c", "a"]);
  });
});

describe("modes in the table", () => {
  const mode = (hz: number, label: string, matters = false): Mode => ({
    hz,
    label,
    matters,
    of: "airframe",
    felt: hz,
    count: 1,
    high_hz: hz,
    mode: 0,
    felt_limit: 3,
  });
  it("are one line where neighbours move alike", () => {
    const lines = alike([
      mode(21, "sideways"),
      mode(21.5, "sideways"),
      mode(23, "sideways"),
      mode(23.1, "up", true),
      mode(23.2, "up"),
      mode(23.3, "legs"),
    ]);
    expect(lines.map(({ hz, high_hz: high, count }) => [hz, high, count])).toEqual([
      [21, 21.5, 2],
      [23, 23, 1],
      [23.1, 23.1, 1],
      [23.2, 23.2, 1],
      [23.3, 23.3, 1],
    ]);
  });
});
