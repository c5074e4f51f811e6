/** Which page asks for what of the brief. What no page names stands on the page of the frame (limits: on
 * that of strength), so that a new field or a new table of the brief needs no line here. */

import type { FieldGroup } from "../api/types";

/** Names in the brief's table `frame`, by the page or part of it that asks for them. */
export const FRAME = {
  arm: ["arm_family", "tube", "grown_arm"],
  material: ["material"],
  filling: ["walls", "skins", "infill", "hole_allowance", "fit_gap"],
  fits: ["hole_allowance", "fit_gap"],
  weakness: ["weak_link", "weak_link_ratio"],
} as const;

/** The same of the table `limits`. */
export const LIMITS = {
  strength: ["motor_tilt", "tip_deflection", "flight_factor", "landing_factor", "joint_factor"],
  shaking: ["control_bandwidth", "bandwidth_ratio", "separation", "balance_grade"],
} as const;

/** What came off the wreck, and the title of each. */
export const ITEMS = [
  ["motor", "Motors"],
  ["propeller", "Propellers"],
  ["speed_controller", "Speed controllers"],
  ["battery", "Flight pack"],
  ["flight_controller", "Flight controller"],
  ["payload", "What it carries"],
] as const;

const SHOWN = new Set<string>([
  ...["general", "mission", "layout", "frame", "limits", "printer"],
  ...ITEMS.map(([path]) => path),
]);
/** Whether a name of a table is in none of its lists. */
export function restOf(lists: Readonly<Record<string, readonly string[]>>) {
  const taken = new Set(Object.values(lists).flat());
  return (name: string): boolean => !taken.has(name);
}

/** Tables of the brief that no page shows by name; items of lists have a place of their own. */
export function unclaimed(groups: readonly FieldGroup[]): FieldGroup[] {
  return groups.filter(({ path, repeats }) => !repeats && !SHOWN.has(path));
}
