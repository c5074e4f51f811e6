/** What you have: what came off the wreck, what it must do, and what is missing. */

import { servedTable } from "../bits/table";
import { followDischarge, dischargeChart } from "../charts/discharge";
import { chartBox } from "../charts/base";
import { h } from "../kit/dom";
import { derived } from "../kit/signal";
import { edit } from "../state/edits";
import { brief, tables } from "../state/study";
import { ITEMS } from "./asked";
import { folded, ledger, type Page, section } from "./page";
import { fieldLine } from "../bits/field";
import { putTable } from "./upload";

export const stock: Page = {
  key: "have",
  question: "What you have",
  groups: [],
  body: () => [
    h(
      "p",
      { class: "lead" },
      "Count what survived and weigh it. Every value is text with its unit; write over it and the verdict moves.",
    ),
    section("What to buy, what to inspect", () => shopping()),
    ledger("What it must do", "mission"),
    folded("Name, note and wiring", "general"),
    chartOf(),
    ITEMS.map(([path, title]) => item(path, title)),
    others(),
  ],
};

function chartOf(): HTMLElement {
  followDischarge();
  return chartBox(dischargeChart);
}

function item(path: string, title: string): HTMLElement {
  const name = (): string => {
    const found = brief()?.groups.find((group) => group.path === path);
    return found?.fields.find((field) => field.name === "name")?.text ?? "";
  };
  const upload = path === "propeller" ? putTable() : null;
  return h(
    "details",
    { class: "item" },
    h("summary", {}, h("b", {}, title), h("span", {}, name)),
    ledger(title, path),
    upload,
  );
}

function shopping(): HTMLElement {
  const found = tables().get("shopping");
  if (!found) return h("p", { class: "empty" }, "The list comes with the first sizing.");
  return servedTable("Against what the layout needs", found, ["why"]);
}

/** Receiver, camera, lights and the like: each can be taken away, more can be put in. */
function others(): HTMLElement {
  const list = derived(() =>
    (brief()?.groups ?? [])
      .filter(({ repeats }) => repeats)
      .map(({ path }) => path)
      .join(),
  );
  const groups = () => (brief.peek()?.groups ?? []).filter(({ repeats }) => repeats);
  return h(
    "details",
    { class: "item" },
    h(
      "summary",
      {},
      h("b", {}, "Everything else aboard"),
      h("span", {}, () => `${list() ? list().split(",").length : 0} items`),
    ),
    () => {
      list();
      return [
        groups().map(({ path, fields }) =>
          h(
            "section",
            { class: "ledger" },
            h("h4", {}, fields.find(({ name }) => name === "name")?.text ?? path),
            fields.map(fieldLine),
            h(
              "button",
              {
                type: "button",
                class: "quiet",
                onclick: () => void edit([{ path, remove: true }]),
              },
              "Take it out",
            ),
          ),
        ),
        adder(),
      ];
    },
  );
}

function adder(): HTMLElement {
  const name = h("input", {
    type: "text",
    placeholder: "such as navigation light",
    "aria-label": "name of the new item",
  });
  const mass = h("input", { type: "text", placeholder: "20 g", "aria-label": "its mass" });
  const put = (event: Event): void => {
    event.preventDefault();
    void edit([
      { path: "others", add: { name: name.value, mass: mass.value, condition: "sound" } },
    ]);
  };
  return h(
    "form",
    { class: "adder", onsubmit: put },
    h("span", {}, "Put in"),
    name,
    mass,
    h("button", { type: "submit" }, "Add"),
  );
}
