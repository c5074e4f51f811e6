/** What breaks first, and the project's log, as docs/workbench-api.md has them. SI in every number. */

import type { Num } from "./types";

/** One kind of part in crashes. */
export interface Toll {
  kind: string;
  keys: string[];
  breaks: number;
  breaks_scatter: number;
  first: number;
  first_scatter: number;
  copies: number;
  seconds: number;
  cost: number;
}

export interface CrashCase {
  key: string;
  title: string;
  reason: string;
  share: number;
  samples: number;
  nothing: number;
  spared: number;
  tolls: Toll[];
  repair: { seconds: number; cost: number };
  energy: { force: number; points: string[]; order: { kind: string; speed: Num }[] };
}

export interface LinkTry {
  scale: number;
  spared: number;
  link_first: number;
  flight_margin: Num;
  landing_margin: Num;
  flies: boolean;
}

export interface Crashed {
  asked: { samples: number; speed: number; link: string; flying: number; service: number };
  kinds: string[];
  protected: string[];
  tolls: Toll[];
  repair: { seconds: number; cost: number };
  cases: CrashCase[];
  link: {
    key: string;
    title: string;
    chosen: number;
    size: string;
    words: string[];
    tries: LinkTry[];
  } | null;
  spares: {
    words: string[];
    service: number;
    wanted: number;
    kg: number;
    seconds: number;
    cost: number;
    plates: number;
    rows: {
      key: string;
      name: string;
      count: number;
      kg: number;
      seconds: number;
      cost: number;
    }[];
  };
  hours_per_crash: number;
}

/** One value of a form of the log. */
export interface Slot {
  name: string;
  label: string;
  example: string;
  required: boolean;
  choices: string[];
  of: "part" | "serial" | "";
}

export interface Form {
  key: string;
  title: string;
  about: string;
  slots: Slot[];
}

export interface PartLife {
  serial: string;
  part: string;
  place: string;
  fitted: string;
  removed: string;
  why: string;
  seconds: number;
  flights: number;
  crashes: number;
  inspected: number;
}

export interface LoggedPart {
  part: string;
  flying: number;
  broken_in_crashes: number;
  worn: number;
  oldest_s: number;
  look_s: number;
  retire_s: number;
}

export interface Summary {
  flown_s: number;
  flights: number;
  crashes: number;
  by_case: Record<string, number>;
  crashes_per_s: { mean: number; low_5: number; high_95: number };
  parts: LoggedPart[];
  lives: PartLife[];
  prints: number;
  failed_prints: number;
  advice: string[];
}

export interface Logbook {
  summary: Summary | null;
  entries: { number: number; date: string; kind: string; text: string; struck: string | null }[];
  forms: Form[];
}
