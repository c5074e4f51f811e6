import { describe, expect, it } from "vitest";
import type { FieldGroup } from "../src/api/types";
import { FRAME, restOf, unclaimed } from "../src/pages/asked";

const group = (path: string, repeats = false): FieldGroup => ({
  path,
  label: path,
  repeats,
  fields: [],
});

describe("what no page names", () => {
  it("is the rest of its table, fields that are not invented yet included", () => {
    const rest = restOf(FRAME);
    expect(["gear", "arm_family", "weak_link", "skid_height"].filter(rest)).toEqual([
      "gear",
      "skid_height",
    ]);
  });

  it("is every table that has no page, but no item of a list", () => {
    const groups = [group("motor"), group("standoffs"), group("guards"), group("others[1]", true)];
    expect(unclaimed(groups).map(({ path }) => path)).toEqual(["standoffs", "guards"]);
  });
});
