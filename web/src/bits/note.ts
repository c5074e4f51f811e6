/** A slip of paper that opens beside what was pressed: where a figure comes from. */

import { add, type Child, h } from "../kit/dom";

const slip = h("div", { class: "slip", popover: "auto", id: "slip", role: "dialog" });
let opener: HTMLElement | null = null;

export function placeSlip(): HTMLElement {
  slip.addEventListener("toggle", (event) => {
    const open = (event as ToggleEvent).newState === "open";
    opener?.setAttribute("aria-expanded", String(open));
    if (!open && slip.contains(document.activeElement)) opener?.focus();
  });
  return slip;
}

export function openSlip(from: HTMLElement, title: string, ...children: Child[]): void {
  opener = from;
  slip.replaceChildren();
  slip.setAttribute("aria-label", title);
  slip.tabIndex = -1;
  add(slip, [h("h3", {}, title), ...children]);
  slip.showPopover();
  place(from.getBoundingClientRect());
  slip.focus({ preventScroll: true });
}

function place(from: DOMRect): void {
  const { offsetWidth: width, offsetHeight: height } = slip;
  const left = Math.min(Math.max(12, from.left), innerWidth - width - 12);
  const below = from.bottom + 8;
  const top = below + height < innerHeight - 8 ? below : Math.max(8, from.top - height - 8);
  slip.style.left = `${left}px`;
  slip.style.top = `${top}px`;
}

/** Terms and what they say, those without words left out. */
export function terms(...pairs: [string, string][]): HTMLElement {
  const told = pairs.filter(([, text]) => text);
  return h(
    "dl",
    { class: "terms" },
    told.map(([term, text]) => [h("dt", {}, term), h("dd", {}, text)]),
  );
}
