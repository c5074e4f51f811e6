/** Everything the server told, as values that the page follows. */

import { get } from "../api/client";
import type {
  Assembly,
  Brief,
  Charts,
  Edited,
  Job,
  JobKind,
  Results,
  Shapes,
  State,
  Table,
  Variant,
} from "../api/types";
import { afterFrame } from "../kit/frame";
import { later } from "../kit/later";
import { batch, signal } from "../kit/signal";

export const ready = signal(false);
export const file = signal<string | null>(null);
export const project = signal("");
export const version = signal("");
export const brief = signal<Brief | null>(null);
export const results = signal<Results | null>(null);
/** What the verdict says: `results`, but ahead of all the rest by one frame. */
export const said = signal<Results | null>(null);
export const charts = signal<Charts | null>(null);
export const shapes = signal<Shapes | null>(null);
export const assembly = signal<Assembly | null>(null);
export const tables = signal<ReadonlyMap<string, Table>>(new Map());
export const jobs = signal<readonly Job[]>([]);
export const jobKinds = signal<readonly JobKind[]>([]);
export const variants = signal<readonly Variant[]>([]);
export const linked = signal(true);
/** Whether an edit is on its way. */
export const busy = signal(false);
/** Edits answered so far, and milliseconds that the server took for the last of them. */
export const last = signal({ edits: 0, took: 0 });

let newest = -1;
/** An answer of which only the verdict is on the page yet. */
let half: Edited | null = null;

/** All of it; an answer that an edit has overtaken meanwhile is left alone. */
export function takeState(state: State): void {
  if (state.revision < newest) return;
  newest = state.revision;
  half = null;
  batch(() => {
    file.set(state.file);
    project.set(state.project);
    version.set(state.version);
    takeStudy(state);
    jobs.set(state.jobs);
    jobKinds.set(state.job_kinds);
    variants.set(state.variants);
    ready.set(true);
  });
  void refreshPictures();
}

function takeStudy(given: Pick<State, "brief" | "results" | "charts">): void {
  said.set(given.results);
  brief.set(given.brief);
  results.set(given.results);
  charts.set(given.charts);
}

/** The answer to an edit, its verdict first; one that a newer answer has overtaken is left alone. */
export function takeEdit(edited: Edited): void {
  if (edited.revision < newest) return;
  newest = edited.revision;
  if (!half) afterFrame(takeRest);
  half = edited;
  batch(() => {
    said.set(edited.results);
    last.set({ edits: last.peek().edits + 1, took: edited.took_ms });
  });
  followPictures();
}

function takeRest(): void {
  const given = half;
  half = null;
  if (given) batch(() => takeStudy(given));
}

/** The text that the page knows, by its digest. */
export function hashKnown(): string | undefined {
  return (half?.brief ?? brief.peek())?.hash;
}

export function takeJob(job: Job): void {
  const others = jobs.peek().filter(({ id }) => id !== job.id);
  jobs.set([...others, job].sort((a, b) => b.started - a.started));
}

export async function refresh(): Promise<State> {
  const state = await get<State>("/api/state");
  takeState(state);
  return state;
}

/** ms without a further edit before the heavier documents follow: the next number comes first. */
const PAUSE = 180;
const followPictures = later(PAUSE, () => void refreshPictures(), busy.peek);

let asking = false;
let again = false;

/** Shapes, bodies and tables: one request of each at a time, the last word last. */
export async function refreshPictures(): Promise<void> {
  if (!results.peek()?.checks.length) return forgetPictures();
  if (asking) {
    again = true;
    return;
  }
  asking = true;
  do {
    again = false;
    await Promise.all([
      take(
        "/api/shapes",
        (value: Shapes) => shapes.set(value),
        () => shapes.set(null),
      ),
      take(
        "/api/assembly",
        (value: Assembly) => assembly.set(value),
        () => assembly.set(null),
      ),
      take("/api/tables", takeTables, () => tables.set(new Map())),
    ]);
  } while (again);
  asking = false;
}

function forgetPictures(): void {
  batch(() => {
    shapes.set(null);
    assembly.set(null);
    tables.set(new Map());
  });
}

function takeTables(list: Table[]): void {
  tables.set(new Map(list.map((table) => [table.name, table])));
}

/** A thing that may not be there yet: 404 and 409 are answers, not faults. */
async function take<T>(path: string, put: (value: T) => void, none: () => void): Promise<void> {
  try {
    put(await get<T>(path));
  } catch {
    none();
  }
}
