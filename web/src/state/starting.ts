/** Starting and stopping long work; what must wait for the frame begins by itself when it is there. */

import { post, Refused, remove } from "../api/client";
import type { Job, Problem, Results } from "../api/types";
import { effect, signal, untracked } from "../kit/signal";
import { trouble } from "./edits";
import { jobKinds, results, takeJob } from "./study";

/** What a job may be told beside the brief, and who hears of what is wrong with it. */
export interface Wish {
  options: () => Record<string, unknown>;
  refused: (problems: readonly Problem[]) => void;
}

/** Kinds of work asked for before the frame was sized or drawn. */
export const put = signal<ReadonlyMap<string, Wish | undefined>>(new Map());

export async function start(kind: string, wish?: Wish): Promise<void> {
  try {
    takeJob(await post<Job>("/api/jobs", { kind, options: wish?.options() ?? {} }));
    wish?.refused([]);
    trouble.set("");
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (error.kind === "busy") put.set(new Map(put.peek()).set(kind, wish));
    else if (wish && error.problems.length) wish.refused(error.problems);
    else trouble.set(error.message);
  }
}

export async function stop(job: Job): Promise<void> {
  try {
    await remove(`/api/jobs/${encodeURIComponent(job.id)}`);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble.set(error.message);
  }
}

/** Ask no longer. */
export function withdraw(kind: string): void {
  const rest = new Map(put.peek());
  if (rest.delete(kind)) put.set(rest);
}

/** Begin what was put off once sizing and solids have caught up; say so where they cannot. */
export function followWishes(): () => void {
  return effect(() => {
    const now = results();
    const wanted = put.peek();
    if (!now || !wanted.size) return;
    if (isReady(now)) {
      put.set(new Map());
      untracked(() => wanted.forEach((wish, kind) => void start(kind, wish)));
    } else if (now.sizing === "failed" || now.solids === "failed") {
      put.set(new Map());
      trouble.set(`${[...wanted.keys()].map(titleOf).join(", ")}: there is no frame to work on.`);
    }
  });
}

function isReady({ basis, sizing, solids }: Results): boolean {
  return basis !== "none" && solids === "current" && (sizing === "current" || sizing === "off");
}

function titleOf(kind: string): string {
  return jobKinds.peek().find((each) => each.kind === kind)?.title ?? kind;
}
