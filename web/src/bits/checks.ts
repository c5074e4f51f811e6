/** Checks as lines with a bar for the share of the limit used; one opens to its method and source. */

import type { Check } from "../api/types";
import { h } from "../kit/dom";
import { loadCase, paint } from "../state/picture";
import { isPicked, openCheck, pick } from "../state/picked";
import { shapes } from "../state/study";
import { digits, num, written } from "../words/units";
import { capital, MARK, sentence, TONE, WORST_FIRST } from "../words/verdict";
import { terms } from "./note";

const TITLES: Record<string, string> = {
  flight: "Will it fly as asked?",
  stiffness: "Is it stiff enough?",
  strength: "Is it strong enough?",
  joints: "Do the joints hold?",
  shaking: "Does it keep clear of the rotors?",
  heat: "Does it stand the heat?",
  fit: "Does it go together?",
};

/** Checks under the question of their group; without it where the page has asked already. */
export function checkList(checks: readonly Check[], asked = false): HTMLElement {
  const groups = [...new Set(checks.map(({ group }) => group))];
  return h(
    "div",
    { class: "checks" },
    groups.map((group) => [
      !asked && h("h3", {}, TITLES[group] ?? capital(group)),
      h("ul", {}, together(checks.filter((check) => check.group === group)).map(drawCheck)),
    ]),
  );
}

interface Alike {
  worst: Check;
  others: Check[];
}

/** Checks that differ only in their load case go under the worst of them. */
export function together(checks: readonly Check[]): Alike[] {
  const alike = new Map<string, Check[]>();
  for (const check of checks) {
    const name = `${check.title}|${check.part}`;
    alike.set(name, [...(alike.get(name) ?? []), check]);
  }
  return [...alike.values()]
    .map((list) => list.sort(bySeverity))
    .map(([worst, ...others]) => ({ worst: worst!, others }))
    .sort((a, b) => bySeverity(a.worst, b.worst));
}

export function bySeverity(a: Check, b: Check): number {
  const rank = WORST_FIRST.indexOf(a.verdict) - WORST_FIRST.indexOf(b.verdict);
  return rank || num(b.use) - num(a.use) || a.id.localeCompare(b.id);
}

function drawCheck({ worst, others }: Alike): HTMLElement {
  const ids = [worst, ...others].map(({ id }) => id);
  const open = (): boolean => ids.includes(openCheck() ?? "");
  const press = (): void => toggle(worst, open());
  return h(
    "li",
    {
      class: () => `check ${TONE[worst.verdict]}${isPicked(worst.keys) ? " picked" : ""}`,
      "data-check": worst.id,
    },
    h(
      "button",
      {
        type: "button",
        class: "check-line",
        "aria-expanded": () => String(open()),
        onclick: press,
      },
      h("span", { class: "mark", "aria-hidden": "true" }, MARK[worst.verdict]),
      h("span", { class: "what" }, capital(worst.title), h("small", {}, worst.part)),
      h("span", { class: "use" }, bar(worst), h("b", {}, shareOf(worst))),
      h("span", { class: "unseen" }, worst.pending ? "waiting for the solids" : worst.verdict),
    ),
    () => (open() ? details(worst, others) : null),
  );
}

function toggle(check: Check, open: boolean): void {
  openCheck.set(open ? null : check.id);
  if (open) return;
  pick(check.keys);
  const known = shapes
    .peek()
    ?.cases.some(({ key, title }) => key === check.load_case || title === check.load_case);
  if (!known) return;
  loadCase.set(check.load_case);
  if (check.group === "strength") paint.set("use");
}

function bar(check: Check): HTMLElement {
  const known = Number.isFinite(num(check.use));
  const use = Math.min(1.25, Math.max(0, known ? num(check.use) : 0));
  return h("i", { class: "bar", "--use": `${use / 1.25}` });
}

export function shareOf(check: Check): string {
  return Number.isFinite(num(check.use)) ? `${digits(100 * num(check.use), 2)} %` : "–";
}

function details(check: Check, others: readonly Check[]): HTMLElement {
  return h(
    "div",
    { class: "opened" },
    h("p", { class: "sentence" }, sentence(check)),
    terms(
      ["found", written(check.demand, check.shown, check.demand_text)],
      [
        "wanted",
        `${check.at_least ? "at least" : "at most"} ${written(check.capacity, check.shown, check.capacity_text)}`,
      ],
      ["reserve", check.margin_text],
      ["uncertainty", check.spread_text],
      ["load case", check.load_case],
      ["method", check.method],
      ["source", check.source],
      ["note", check.note],
      ["it sets", check.drives.join(", ")],
      [
        "also in",
        others.map((other) => `${other.load_case || other.part} ${shareOf(other)}`).join("; "),
      ],
    ),
  );
}
