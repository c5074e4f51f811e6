/** Long work: what is running with its progress and a way to stop it, and presses that start it. */

import { post, Refused, remove } from "../api/client";
import type { Job, Problem } from "../api/types";
import { h } from "../kit/dom";
import { trouble } from "../state/edits";
import { jobKinds, jobs, takeJob } from "../state/study";
import { capital } from "../words/verdict";

/** What a job may be told beside the brief, and who hears of what is wrong with it. */
export interface Wish {
  options: () => Record<string, unknown>;
  refused: (problems: readonly Problem[]) => void;
}

export async function start(kind: string, wish?: Wish): Promise<void> {
  try {
    takeJob(await post<Job>("/api/jobs", { kind, options: wish?.options() ?? {} }));
    wish?.refused([]);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    if (wish && error.problems.length) wish.refused(error.problems);
    else trouble.set(error.message);
  }
}

async function stop(job: Job): Promise<void> {
  try {
    await remove(`/api/jobs/${encodeURIComponent(job.id)}`);
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    trouble.set(error.message);
  }
}

export const moving = (job: Job): boolean => job.state === "running" || job.state === "waiting";

/** A press for one kind of job where this version can do it, and how its last run went. */
export function jobPress(kind: string, wish?: Wish): () => HTMLElement | null {
  return () => {
    const found = jobKinds().find((each) => each.kind === kind);
    if (!found) return null;
    const last = (): Job | undefined => jobs().find((job) => job.kind === kind);
    return h(
      "div",
      { class: "job-press" },
      h(
        "button",
        {
          type: "button",
          class: "act",
          "data-job": kind,
          disabled: () => Boolean(last() && moving(last()!)),
          onclick: () => void start(kind, wish),
        },
        found.title,
      ),
      h("p", {}, found.about),
      () => (last() ? slip(last()!) : null),
    );
  };
}

/** What is running now, for the foot of the strip. */
export function running(): HTMLElement {
  return h("div", { class: "running", "aria-live": "polite" }, () =>
    jobs().filter(moving).map(slip),
  );
}

function slip(job: Job): HTMLElement {
  const share = Math.round(100 * job.share);
  if (!moving(job)) return h("p", { class: `slip-line ${job.state}` }, ended(job));
  return h(
    "div",
    { class: "job", "data-job-id": job.id },
    h("span", { class: "job-what" }, h("b", {}, job.title), job.what ? ` ${job.what}` : ""),
    h("progress", { max: 100, value: share, "aria-label": `${job.title}: ${share} %` }),
    h("span", { class: "job-share" }, `${share} %`),
    h(
      "button",
      {
        type: "button",
        class: "quiet",
        "aria-label": `Stop: ${job.title}`,
        onclick: () => void stop(job),
      },
      "Stop",
    ),
  );
}

function ended(job: Job): string {
  const took =
    job.took_s >= 90 ? `${Math.round(job.took_s / 60)} min` : `${job.took_s.toFixed(0)} s`;
  if (job.state === "failed") {
    return `${job.title} did not finish: ${job.error?.message ?? "no reason given"}`;
  }
  if (job.state === "cancelled") return `${capital(job.title)} was stopped.`;
  return `${capital(job.title)}: done in ${took}${job.current ? "." : ", for an earlier brief."}`;
}
