import { describe, expect, it } from "vitest";
import type { Crashed, CrashCase, PartLife } from "../src/api/breaking";
import { firstShares } from "../src/charts/first";
import { aboard } from "../src/charts/hours";
import { chance, kindWords, money, reserve } from "../src/words/chances";
import { write } from "../src/words/units";

describe("chances in words", () => {
  it("have as many places as their scatter tells", () => {
    expect(chance(0.6683, 0.0127)).toBe("67 ± 1 %");
    expect(chance(0.0075, 0.0046)).toBe("0.8 ± 0.5 %");
    expect(chance(0, 0.0033)).toBe("0.0 ± 0.3 %");
  });

  it("have reserves with their sign, and no more than tenfold", () => {
    expect(reserve(0.023)).toBe("+2 %");
    expect(reserve(-0.114)).toBe("−11 %");
    expect(reserve(Infinity)).toBe("over 1000 %");
  });

  it("name kinds, money and hours", () => {
    expect(kindWords("plates")).toBe("Centre plates");
    expect(kindWords("root_block")).toBe("Root block");
    expect(money(0)).toBe("–");
    expect(money(12.4)).toBe("12.40");
    expect(write(5400, "h", 2)).toBe("1.5 h");
  });
});

function way(title: string, first: Record<string, number>, nothing: number): CrashCase {
  const tolls = Object.entries(first).map(([kind, share]) => ({ kind, first: share }));
  return { title, nothing, tolls } as unknown as CrashCase;
}

describe("what goes first", () => {
  it("adds up to all crashes of each way, from below, and leaves out what never goes first", () => {
    const found = {
      kinds: ["arm", "leg", "mount"],
      cases: [way("tip", { arm: 0.7, leg: 0.2, mount: 0 }, 0.1), way("nose", { arm: 1 }, 0)],
    } as unknown as Crashed;
    const shares = firstShares(found);
    expect(shares.map(({ name }) => name)).toEqual(["Arm", "Leg", "Nothing"]);
    expect(shares[0]!.shares).toEqual([100, 70]);
    for (const k of [0, 1])
      expect(shares.reduce((sum, each) => sum + each.shares[k]!, 0)).toBeCloseTo(100);
  });
});

describe("hours of each part", () => {
  it("shows those aboard, the oldest first", () => {
    const life = (serial: string, seconds: number, removed = "") =>
      ({ serial, seconds, removed }) as PartLife;
    const found = aboard([life("A1", 10), life("A2", 30), life("A3", 99, "2026-04-01")]);
    expect(found.map(({ serial }) => serial)).toEqual(["A2", "A1"]);
  });
});
