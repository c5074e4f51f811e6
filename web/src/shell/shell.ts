/** The whole page: verdict above, strip and picture, the open question beside them. */

import { footnote } from "../bits/field";
import { placeSlip } from "../bits/note";
import { enlarged } from "../charts/base";
import { h, show } from "../kit/dom";
import { effect } from "../kit/signal";
import { PAGES } from "../pages/all";
import { place } from "../state/place";
import { file, ready } from "../state/study";
import { answer } from "./answer";
import { conflictDialog, troubleLine } from "./dialogs";
import { keysDialog } from "./keys";
import { startPage } from "./start";
import { strip } from "./strip";
import { masthead } from "./tools";
import { view } from "./view";

export function shell(): HTMLElement {
  return h(
    "div",
    { class: "book" },
    troubleLine(),
    () => body(),
    conflictDialog(),
    keysDialog(),
    placeSlip(),
  );
}

function body(): HTMLElement | HTMLElement[] {
  if (!ready()) return h("p", { class: "empty waiting", role: "status" }, "Opening the workbench…");
  if (!file()) return startPage();
  const skip = h("a", { class: "skip", href: "#page" }, "To the page");
  skip.addEventListener("click", (event) => {
    event.preventDefault();
    document.getElementById("page")?.focus();
  });
  return [
    skip,
    masthead(),
    answer(),
    h("div", { class: "spread" }, strip(), view(), page()),
    foot(),
  ];
}

function foot(): HTMLElement {
  const words = (): string => footnote()?.() ?? "";
  return h("p", { class: "footnote", "aria-hidden": "true", hidden: () => !words() }, words);
}

function page(): HTMLElement {
  const main = h("main", { class: "page", id: "page", tabindex: -1 });
  let end = (): void => undefined;
  effect(() => {
    const open = PAGES.find(({ key }) => key === place()) ?? PAGES[0]!;
    end();
    enlarged.set(null);
    end = show(main, () => [
      h(
        "h2",
        { class: "question" },
        open.question,
        /^Will|^What breaks/.test(open.question) ? "?" : "",
      ),
      open.body(),
    ]);
    main.scrollTop = 0;
    document.title = `${open.question} – Refledge`;
  });
  return main;
}
