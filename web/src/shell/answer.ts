/** The living verdict: always in sight, as a sentence, with what drives it and how it stands. */

import { ruler } from "../bits/ruler";
import { h } from "../kit/dom";
import { openCheck } from "../state/picked";
import { go } from "../state/place";
import { moving } from "../bits/jobs";
import { brief, jobs, last, results, said } from "../state/study";
import { bySeverity } from "../bits/checks";
import { capital, sentence, TONE } from "../words/verdict";

const PAGE_OF: Record<string, string> = {
  shaking: "shake",
  heat: "material",
  fit: "frame",
  flight: "layout",
};

export function answer(): HTMLElement {
  return h(
    "header",
    { class: () => `answer ${TONE[said()?.verdict ?? "cannot say"]}` },
    h(
      "div",
      { class: "says", "aria-live": "polite", "aria-atomic": "true" },
      h(
        "h1",
        { class: "verdict", "data-edits": () => last().edits, "data-took": () => last().took },
        headline,
      ),
      h("p", { class: "driver" }, driver),
    ),
    ruler(showCheck),
  );
}

function headline(): string {
  const found = said();
  if (!found) return brief() ? "Nothing has been worked out yet." : "No brief is open.";
  if (found.basis !== "none") return found.headline;
  return sizing() ? "No frame yet." : "There is no frame for this brief.";
}

/** What is nearest to its limit, and which dimension it sets. */
function driver(): (string | HTMLElement)[] {
  const found = said();
  if (!found) return [];
  if (found.basis === "none")
    return [`${capital(found.why_not).replace(/\.$/, "")}. ${sizing() ? progressWords() : ""}`];
  const check = found.checks.find(({ id }) => id === found.worst?.check) ?? nearest();
  const drives = found.worst?.drives ?? [];
  const press = h(
    "button",
    { type: "button", class: "figure", onclick: () => check && showCheck(check.id) },
    check ? sentence(check) : "",
  );
  return [check ? press : "", drives.length ? ` It sets ${drives.join(", ")}.` : ""];
}

function sizing(): boolean {
  const state = said()?.sizing;
  return state === "running" || state === "wanted";
}

function progressWords(): string {
  const job = jobs().find((each) => each.kind === "design" && moving(each));
  return job
    ? `Sizing: ${Math.round(100 * job.share)} %, ${job.what || "beginning"}.`
    : "A sizing begins in a moment.";
}

function nearest() {
  return [...(said()?.checks ?? [])].filter(({ pending }) => !pending).sort(bySeverity)[0];
}

/** How far the figures can be taken as they stand. */
export function standing(): string {
  const found = results();
  const parts: string[] = [];
  if (!found || found.basis === "none") return "";
  if (found.basis === "held") parts.push("The frame of the last sizing, under these numbers.");
  if (found.basis === "by hand") parts.push("With dimensions set by hand.");
  if (found.sizing === "running" || found.sizing === "wanted") parts.push("Sizing anew…");
  if (found.sizing === "failed") parts.push("The sizing failed.");
  if (found.pending) parts.push(`${found.pending} checks wait for the solids.`);
  return parts.join(" ");
}

export function showCheck(id: string): void {
  const check = results.peek()?.checks.find((each) => each.id === id);
  if (!check) return;
  openCheck.set(id);
  go(PAGE_OF[check.group] ?? "hold");
  requestAnimationFrame(() =>
    document.querySelector(".check .opened")?.scrollIntoView({ block: "center" }),
  );
}
