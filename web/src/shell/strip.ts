/** The narrow strip of questions, each with the worst verdict of the checks that answer it. */

import { running } from "../bits/jobs";
import { h } from "../kit/dom";
import { PAGES } from "../pages/all";
import type { Page } from "../pages/page";
import { go, place } from "../state/place";
import { results } from "../state/study";
import { MARK, TONE, worstOf } from "../words/verdict";

export function strip(): HTMLElement {
  const list = h("ol", {}, PAGES.map(question));
  list.addEventListener("keydown", (event) => {
    const links = [...list.querySelectorAll<HTMLElement>("a")];
    const now = links.indexOf(document.activeElement as HTMLElement);
    const next = event.key === "ArrowDown" ? now + 1 : event.key === "ArrowUp" ? now - 1 : -1;
    if (now < 0 || !links[next]) return;
    event.preventDefault();
    links[next]!.focus();
  });
  return h("nav", { class: "strip", "aria-label": "Questions of the job" }, list, running());
}

function question(page: Page): HTMLElement {
  const verdict = () =>
    worstOf((results()?.checks ?? []).filter(({ group }) => page.groups.includes(group)));
  return h(
    "li",
    {},
    h(
      "a",
      {
        href: `#/${page.key}`,
        "aria-current": () => (place() === page.key ? "page" : null),
        onclick: (event: Event) => {
          event.preventDefault();
          go(page.key);
        },
      },
      h("span", { class: "q" }, page.question),
      () => {
        const found = verdict();
        return (
          found &&
          h(
            "span",
            { class: `mark ${TONE[found]}`, title: found },
            h("span", { "aria-hidden": "true" }, MARK[found]),
            h("span", { class: "unseen" }, `, ${found}`),
          )
        );
      },
    ),
  );
}
