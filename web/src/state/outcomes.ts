/** What finished jobs found, asked for once a job. */

import { get } from "../api/client";
import type { Crashed } from "../api/breaking";
import type { Measured } from "../api/types";
import { effect, signal } from "../kit/signal";
import { jobs, results } from "./study";

export interface Finalist {
  key: string;
  kind: string;
  propeller: string;
  pack: string;
  motor: string;
  all_up_mass: number;
  frame_mass: number;
  footprint: number;
  rotors: number;
  holds: boolean;
  gains: string[];
  gives_up: string[];
  flying: { endurance: { value: number }; thrust_margin: number; hover: { power: number } };
}

/** A grown arm against the present one, each figure as text. */
export interface Grown {
  rows: { figure: string; present: string; grown: string; change: string }[];
  remarks: string[];
  steps: number;
  files: string[];
  /** As the brief would name the arm's record; "" where it was not solved. */
  record: string;
  /** Why no airframe can have it, or "". */
  grounded: string;
  /** What the checks of the airframe sized round it say, or "". */
  verdict: string;
  /** Checks that do not hold: which, with the grown arms, with the drawn ones. */
  open: [string, string, string][];
  /** Both airframes side by side; null where it was not solved. */
  frames: Texts | null;
  /** Every growth that it took; null where it was not solved. */
  rounds: (Texts & { words: string }) | null;
}

/** A table of texts, the first column their names. */
export interface Texts {
  heads: string[];
  rows: string[][];
}

export interface Compared {
  record: {
    swept: number;
    hovering: number;
    finalists: Finalist[];
    left_out: string[];
    notes: string[];
  };
  front: Record<string, number[]>;
  /** Layout of each row of the front. */
  kinds: string[];
}

export const compared = signal<Compared | null>(null);
export const verified = signal<readonly Measured[] | null>(null);
export const crashed = signal<Crashed | null>(null);
export const grown = signal<Grown | null>(null);
export const measured = signal<readonly Measured[] | null>(null);

/** Follow jobs of four kinds and the bench's store for as long as the page lives. */
export function followOutcomes(): void {
  follow("layouts", (found: Told) => compared.set(apart(found)));
  follow("verify", (found: { measured?: Measured[] }) => verified.set(found.measured ?? []));
  follow("crash", (found: Crashed) => crashed.set(found));
  follow("shape", (found: Grown) => grown.set(found));
  let asked = "";
  effect(() => {
    const now = results()?.sizing ?? "";
    if (now !== "current" || asked === now) return;
    asked = now;
    get<Measured[]>("/api/charts/measured").then(measured.set, () => measured.set(null));
  });
}

interface Told {
  record: Compared["record"];
  front: Record<string, number[] | string[]>;
}

/** The front's numbers and its names, which come in one object. */
function apart({ record, front: { kind, ...rest } }: Told): Compared {
  return { record, front: rest as Compared["front"], kinds: (kind ?? []) as string[] };
}

function follow<T>(kind: string, put: (found: T) => void): void {
  let last = "";
  effect(() => {
    const done = jobs().find((job) => job.kind === kind && job.state === "done" && job.has_result);
    if (!done || done.id === last) return;
    last = done.id;
    get<T>(`/api/jobs/${encodeURIComponent(done.id)}/result`).then(put, () => (last = ""));
  });
}
