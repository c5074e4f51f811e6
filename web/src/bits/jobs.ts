/** Long work: what is running with its progress and a way to stop it, and presses that start it. */

import type { Job } from "../api/types";
import { h } from "../kit/dom";
import { put, start, stop, type Wish, withdraw } from "../state/starting";
import { jobKinds, jobs } from "../state/study";
import { capital } from "../words/verdict";

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
          disabled: () => put().has(kind) || Boolean(last() && moving(last()!)),
          onclick: () => void start(kind, wish),
        },
        found.title,
      ),
      h("p", {}, found.about),
      () => (put().has(kind) ? waiting(kind) : last() ? slip(last()!) : null),
    );
  };
}

function waiting(kind: string): HTMLElement {
  return h(
    "p",
    { class: "slip-line", role: "status" },
    "It begins by itself when the frame has been sized and drawn. ",
    h("button", { type: "button", class: "quiet", onclick: () => withdraw(kind) }, "Leave it"),
  );
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
