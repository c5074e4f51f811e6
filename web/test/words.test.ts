import { afterEach, describe, expect, it } from "vitest";
import type { Check } from "../src/api/types";
import { units } from "../src/state/prefs";
import { differing } from "../src/words/differing";
import { nudged } from "../src/words/nudge";
import { cellText } from "../src/bits/table";
import { column, digits, num, write, written } from "../src/words/units";
import { sentence, worstOf } from "../src/words/verdict";

afterEach(() => units.set("metric"));

describe("units", () => {
  it("show the server's own text in metric", () => {
    expect(written(0.0849, "g", "84.9 g")).toBe("84.9 g");
  });

  // Definitions: 1 in = 25.4 mm, 1 lb = 0.45359237 kg, 1 lbf = 1 lb x 9.80665 m/s2 (NIST SP 811).
  it.each([
    [0.0254, "mm", "1.00 in"],
    [0.45359237, "kg", "1.00 lb"],
    [0.45359237, "g", "16.0 oz"],
    [4.4482216152605, "N", "1.00 lbf"],
    [6894757.293168, "MPa", "1.00 ksi"],
    [310.927777778, "degC", "100 °F"],
    [0.44704, "m/s", "1.00 mph"],
  ])("convert %d in %s to %s", (si, shown, text) => {
    units.set("imperial");
    expect(written(si, shown, "metric")).toBe(text);
  });

  it.each([
    ["mm", 25.4, "in", "1.00"],
    ["g", 453.59237, "oz", "16.0"],
    ["N*m", 0.1129848290276167, "lbf in", "1.00"],
    ["MPa", 6.894757293168, "ksi", "1.00"],
  ])("convert columns in %s of the build's tables", (unit, cell, to, text) => {
    expect(column(unit)).toBeNull();
    units.set("imperial");
    expect(column(unit)?.to).toBe(to);
    expect(cellText(cell, column(unit))).toBe(text);
    expect(column("Hz")).toBeNull();
  });

  it("write cells of tables short, and counts as they are", () => {
    const cells = [0.22123, 4.4812, 259.31, -149.68, 16, true, null];
    const texts = ["0.221", "4.48", "259.3", "−149.7", "16", "yes", ""];
    expect(cells.map((cell) => cellText(cell))).toEqual(texts);
  });

  it("leave alone what has no other unit", () => {
    units.set("imperial");
    expect(written(22.3, "Hz", "22.3 Hz")).toBe("22.3 Hz");
    expect(written("inf", "mm", "unlimited")).toBe("unlimited");
  });

  it.each([
    [0.0002, "g", "0.200 g"],
    [1.2345, "kg", "1.23 kg"],
    [Math.PI / 180, "deg", "1.00°"],
    [0.638, "%", "63.8 %"],
  ])("write %d as %s", (si, shown, text) => expect(write(si, shown)).toBe(text));

  it("round to three figures as the command line does", () => {
    expect([0.9998, 123.4, 0, -5.006, 1e8, 4856].map((each) => digits(each))).toEqual([
      "1.00",
      "123",
      "0",
      "−5.01",
      "1.00e+08",
      "4856",
    ]);
  });

  it("know numbers that JSON has no word for", () => {
    expect([num("inf"), num("-inf"), num("nan"), num(null), num(2)]).toEqual([
      Infinity,
      -Infinity,
      NaN,
      NaN,
      2,
    ]);
  });
});

describe("stepping a text", () => {
  it.each([
    ["84 g", 1, false, null, "85 g"],
    ["0.95 mm", -1, false, null, "0.94 mm"],
    ["84 g", -1, true, null, "74 g"],
    ["23.85 mm", 1, false, 0.45, "24.30 mm"],
    ["4", 1, false, null, "5"],
  ] as const)("%s by %d", (text, way, coarse, step, after) =>
    expect(nudged(text, way, coarse, step)).toBe(after),
  );

  it("leaves words alone", () => expect(nudged("choose", 1, false, null)).toBeNull());
});

describe("the verdict", () => {
  const check = (verdict: string, pending = false): Check => ({ verdict, pending }) as Check;

  it("is the worst of all that are not waiting", () => {
    expect(worstOf([check("holds"), check("fails", true), check("holds narrowly")])).toBe(
      "holds narrowly",
    );
    expect(worstOf([check("cannot say"), check("fails")])).toBe("fails");
    expect(worstOf([])).toBeNull();
  });

  it("is said in the reader's units", () => {
    const mass = {
      title: "all-up mass",
      part: "aircraft",
      demand: 3.25,
      capacity: 3.5,
      shown: "kg",
      demand_text: "3.25 kg",
      capacity_text: "3.50 kg",
      at_least: false,
    } as Check;
    expect(sentence(mass)).toBe("All-up mass (aircraft): 3.25 kg, at most 3.50 kg wanted.");
    units.set("imperial");
    expect(sentence(mass)).toBe("All-up mass (aircraft): 7.17 lb, at most 7.72 lb wanted.");
  });
});

describe("two texts", () => {
  it("differ in the lines that changed, came and went", () => {
    expect(differing("a\nb\nc", "a\nB\nc\nd")).toEqual([
      { mine: "b", theirs: "B" },
      { mine: "", theirs: "d" },
    ]);
    expect(differing("same\ntext", "same\ntext")).toEqual([]);
  });
});
