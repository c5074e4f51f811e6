/** What the server says, as docs/workbench-api.md has it. SI in every number. */

export type * from "./drawn";
import type { Charts } from "./drawn";

export type Verdict = "holds" | "holds narrowly" | "fails" | "cannot say";
/** A number as JSON can carry it; null where the question has no number. */
export type Num = number | "inf" | "-inf" | "nan" | null;

export interface Field {
  path: string;
  name: string;
  label: string;
  kind: "quantity" | "count" | "text" | "flag" | "texts" | "angles" | "condition";
  unit: string;
  shown: string;
  text: string;
  value: unknown;
  stated: boolean;
  required: boolean;
  default: string | null;
  reason: string;
  low: number | null;
  high: number | null;
  allowed: string;
  choices: string[];
  line: number | null;
}

export interface FieldGroup {
  path: string;
  label: string;
  fields: Field[];
  repeats: boolean;
}

export interface Dimension {
  path: string;
  label: string;
  part: string;
  value: number;
  text: string;
  unit: string;
  shown: string;
  low: number;
  high: number;
  step: number;
  by_hand: boolean;
  sized: number;
}

export interface Problem {
  where: string;
  line: number | null;
  field: string;
  given: string;
  allowed: string;
  next_step: string;
}

export interface Brief {
  text: string;
  hash: string;
  title: string;
  problems: Problem[];
  undo: string | null;
  redo: string | null;
  groups: FieldGroup[];
  dimensions: Dimension[];
}

export interface Figure {
  key: string;
  label: string;
  group: string;
  value: Num;
  unit: string;
  shown: string;
  text: string;
  method: string;
  source: string;
  spread: number | null;
  spread_text: string;
}

export interface Check {
  id: string;
  key: string;
  title: string;
  group: string;
  part: string;
  keys: string[];
  load_case: string;
  demand: Num;
  capacity: Num;
  unit: string;
  shown: string;
  demand_text: string;
  capacity_text: string;
  at_least: boolean;
  use: Num;
  margin: Num;
  margin_text: string;
  verdict: Verdict;
  sentence: string;
  method: string;
  source: string;
  spread: number | null;
  spread_text: string;
  note: string;
  drives: string[];
  pending: boolean;
}

export interface Driver {
  dimension: string;
  value: number;
  text: string;
  check: string;
  saved: number;
  saved_text: string;
}

export interface Results {
  revision: number;
  basis: "sized" | "held" | "by hand" | "none";
  why_not: string;
  sizing: "current" | "running" | "wanted" | "off" | "failed";
  solids: "current" | "following" | "failed";
  verdict: Verdict;
  headline: string;
  counts: Record<Verdict, number>;
  pending: number;
  worst: { check: string; sentence: string; drives: string[] } | null;
  figures: Figure[];
  checks: Check[];
  drivers: Driver[];
  notes: string[];
  stale: string[];
}

export interface JobKind {
  kind: string;
  title: string;
  about: string;
  wants: "brief" | "results";
}

export interface Job {
  id: string;
  kind: string;
  title: string;
  state: "waiting" | "running" | "done" | "failed" | "cancelled";
  share: number;
  what: string;
  started: number;
  took_s: number;
  revision: number;
  current: boolean;
  error: { kind: string; message: string; problems: Problem[] } | null;
  has_result: boolean;
}

export interface Variant {
  name: string;
  title: string;
  made: string;
  verdict: Verdict;
  all_up_kg: number;
  frame_kg: number;
}

export interface Comparison {
  names: string[];
  rows: {
    key: string;
    label: string;
    group: string;
    unit: string;
    shown: string;
    values: Num[];
    texts: string[];
    changes: (number | null)[];
    change_texts: string[];
    differs: boolean;
  }[];
  brief: { path: string; label: string; texts: string[] }[];
  checks: { id: string; label: string; verdicts: Verdict[]; uses: Num[] }[];
}

export interface State {
  version: string;
  project: string;
  file: string | null;
  revision: number;
  brief: Brief | null;
  results: Results | null;
  charts: Charts | null;
  jobs: Job[];
  job_kinds: JobKind[];
  variants: Variant[];
  last_event: number;
  /** Whether the file on disk is another program's now; older servers do not say. */
  conflict?: boolean;
}

export interface Edited {
  revision: number;
  brief: Brief;
  results: Results;
  charts: Charts;
  took_ms: number;
}

export interface LogEntry {
  time: string;
  what: string;
  text: string;
}

/** A prediction and what was found, by the bench or by solid elements. */
export interface Measured {
  what: string;
  unit: string;
  shown: string;
  predicted: Num;
  predicted_spread: number | null;
  measured: Num;
  measured_spread: number | null;
  date: string;
}
