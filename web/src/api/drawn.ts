/** Charts, shapes, bodies and tables, as docs/workbench-api.md has them. SI in every number. */

import type { Num, Results, Verdict } from "./types";

export interface Mode {
  hz: number;
  high_hz: number;
  count: number;
  label: string;
  felt: number;
  felt_limit: number;
  matters: boolean;
  of: string;
  mode: number;
}

export interface Speeds {
  throttle: number[];
  once_hz: number[];
  blade_hz: number[];
  blades: number;
  hover: { name: string; throttle: number; once_hz: number; blade_hz: number }[];
  bands: { low_hz: number; high_hz: number; why: string }[];
  bandwidth: { hz: number; wanted_hz: number };
  modes: Mode[];
}

export interface UseBar {
  id: string;
  label: string;
  part: string;
  group: string;
  use: Num;
  verdict: Verdict;
  pending: boolean;
}

export interface MassGroup {
  group: string;
  label: string;
  kg: number;
  lines: { label: string; quantity: number; each_kg: number; kg: number }[];
}

export interface Alternative {
  family: string;
  material: string;
  material_name: string;
  feasible: boolean;
  frame_kg: number;
  arm_kg: number;
  tilt_rad: number;
  first_mode_hz: number;
  deflection?: number | null;
  worst: string;
  chosen: boolean;
}

export interface LayoutChoice {
  kind: string;
  chosen: boolean;
  all_up_kg: number;
  hover_w: number;
  endurance_s: number;
  thrust_margin: number;
  radius_m: number;
  footprint_m: number;
  rotors: number;
  reason: string;
}

export interface Charts {
  revision: number;
  speeds: Speeds | null;
  use: UseBar[];
  masses: MassGroup[];
  alternatives: Alternative[];
  layouts: LayoutChoice[];
}

export interface Discharge {
  time_s: number[];
  voltage: number[];
  current: number[];
  charge: number[];
  ended_by: string;
  wanted_s: number;
  method: string;
}

export interface LoadShape {
  key: string;
  title: string;
  reason: string;
  kind: string;
  displacements: number[][];
  tilt_rad: number[];
  tip_m: number[];
  arrows: { at: number[]; vector: number[]; label: string }[];
  use: Record<string, number>;
}

export interface ModeShape {
  of: string;
  index: number;
  hz: number;
  label: string;
  felt: number;
  shape: number[][];
}

export interface Binding {
  how: "rigid" | "line" | "sheet";
  nodes: number[];
}

export interface Shapes {
  revision: number;
  nodes: number[][];
  lines: number[][];
  cases: LoadShape[];
  modes: ModeShape[];
  bodies: Record<string, Binding>;
}

export interface AssemblyBody {
  name: string;
  key: string;
  group: "part" | "item" | "disc";
  matrix: number[];
}

export interface Assembly {
  revision: number;
  solids: Results["solids"];
  bodies: AssemblyBody[];
  meshes: Record<string, string>;
  overlaps: string[];
  least_gap: number;
}

export interface Table {
  name: string;
  columns: { name: string; unit: string }[];
  rows: (string | number | boolean | null)[][];
}
