/** Edits on their way to the file: one at a time, what waits for the same field replaced. */

import { patch, post, Refused } from "../api/client";
import type { Edited, Problem } from "../api/types";
import { signal } from "../kit/signal";
import { busy, hashKnown, takeEdit } from "./study";

export type Value = string | number | boolean | null | Record<string, number>;
export type Edit =
  | { path: string; value: Value }
  | { path: string; add: Record<string, string> }
  | { path: string; remove: true };
export type Where = "brief" | "dimensions";

export interface Conflict {
  message: string;
  mine: string;
  theirs: string;
  theirsHash: string;
}

export const conflict = signal<Conflict | null>(null);
/** What the server refused, by the path of its field. */
export const faults = signal<ReadonlyMap<string, string>>(new Map());
/** A refusal that belongs to no field. */
export const trouble = signal("");

interface Waiting {
  where: Where;
  edits: Edit[];
  done: (held: boolean) => void;
}

const queue: Waiting[] = [];
let running = false;

/** Send edits; the answer says whether they were taken. */
export function edit(edits: Edit[], where: Where = "brief"): Promise<boolean> {
  return new Promise((done) => {
    const last = queue.at(-1);
    if (last && replaces(last, where, edits)) {
      last.done(true); // overtaken by the next number for the same field
      queue.pop();
    }
    queue.push({ where, edits, done });
    void work();
  });
}

function replaces(last: Waiting, where: Where, edits: Edit[]): boolean {
  const [only, next] = [last.edits[0], edits[0]];
  if (last.edits.length !== 1 || edits.length !== 1 || last.where !== where) return false;
  return Boolean(only && next && "value" in only && "value" in next && only.path === next.path);
}

async function work(): Promise<void> {
  if (running) return;
  running = true;
  busy.set(true);
  for (let next = queue.shift(); next; next = queue.shift()) {
    next.done(await attempt(next));
  }
  busy.set(false);
  running = false;
}

function attempt({ where, edits }: Waiting): Promise<boolean> {
  const body = where === "brief" ? { edits, hash: hashKnown() } : { edits };
  return answered(() => patch<Edited>(`/api/${where}`, body), edits[0]?.path ?? "");
}

/** Any request that answers like an edit. */
export async function answered(ask: () => Promise<Edited>, path = ""): Promise<boolean> {
  try {
    takeEdit(await ask());
    if (faults.peek().size) faults.set(new Map());
    trouble.set("");
    return true;
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    refused(error, path);
    return false;
  }
}

export const undo = (): Promise<boolean> => answered(() => post<Edited>("/api/undo"));
export const redo = (): Promise<boolean> => answered(() => post<Edited>("/api/redo"));

export function resolve(keep: "mine" | "theirs"): Promise<boolean> {
  const found = conflict.peek();
  conflict.set(null);
  const body = keep === "mine" ? { keep, hash: found?.theirsHash } : { keep };
  return answered(() => post<Edited>("/api/brief/resolve", body));
}

function refused(error: Refused, path: string): void {
  if (error.kind === "conflict" && "theirs" in error.details) {
    const { mine, theirs, theirs_hash: theirsHash } = error.details as Record<string, string>;
    conflict.set({ message: error.message, mine: mine!, theirs: theirs!, theirsHash: theirsHash! });
    return;
  }
  if (!error.problems.length) {
    if (path) faults.set(new Map([[path, error.message]]));
    else trouble.set(error.message);
    return;
  }
  faults.set(new Map(error.problems.map((problem) => [problem.field || path, inWords(problem)])));
}

export function inWords({ given, allowed, next_step: step }: Problem): string {
  const parts = [given && `given ${given}`, allowed && `allowed ${allowed}`, step];
  return parts
    .filter(Boolean)
    .map((part) => `${part.charAt(0).toUpperCase()}${part.slice(1)}.`)
    .join(" ")
    .replace(/\.\./g, ".");
}
