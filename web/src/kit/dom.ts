/** Elements by function call; functions among properties and children follow the values they read. */

import { effect, scope } from "./signal";

export type Child = Node | string | number | null | undefined | false | Child[] | (() => Child);
type Value = string | number | boolean | null | undefined;
type Handler = (event: never) => void;
export type Props = Record<string, Value | (() => Value) | Handler>;

const SVG = "http://www.w3.org/2000/svg";

export function h<K extends keyof HTMLElementTagNameMap>(
  tag: K,
  props: Props = {},
  ...children: Child[]
): HTMLElementTagNameMap[K] {
  return fill(document.createElement(tag), props, children);
}

export function s<K extends keyof SVGElementTagNameMap>(
  tag: K,
  props: Props = {},
  ...children: Child[]
): SVGElementTagNameMap[K] {
  return fill(document.createElementNS(SVG, tag), props, children);
}

function fill<E extends Element>(element: E, props: Props, children: Child[]): E {
  for (const [name, value] of Object.entries(props)) {
    if (name.startsWith("on")) {
      element.addEventListener(name.slice(2), value as EventListener);
    } else if (typeof value === "function") {
      effect(() => put(element, name, (value as () => Value)()));
    } else {
      put(element, name, value);
    }
  }
  for (const child of children) add(element, child);
  return element;
}

/** One attribute or property; false and null take it away. */
function put(element: Element, name: string, value: Value): void {
  if (name === "value" && element instanceof HTMLInputElement) {
    element.value = String(value ?? "");
  } else if (name.startsWith("--") && element instanceof HTMLElement) {
    element.style.setProperty(name, String(value));
  } else if (value === false || value === null || value === undefined) {
    element.removeAttribute(name);
  } else {
    element.setAttribute(name, value === true ? "" : String(value));
  }
}

/** Append a child; a function's nodes stand between two marks and are renewed in place. */
export function add(parent: Element | DocumentFragment, child: Child): void {
  if (child === null || child === undefined || child === false) return;
  if (Array.isArray(child)) child.forEach((each) => add(parent, each));
  else if (typeof child === "function") follow(parent, child);
  else parent.append(child instanceof Node ? child : String(child));
}

function follow(parent: Element | DocumentFragment, child: () => Child): void {
  const [start, end] = [document.createComment(""), document.createComment("")];
  parent.append(start, end);
  effect(() => {
    const fresh = document.createDocumentFragment();
    add(fresh, child());
    while (start.nextSibling && start.nextSibling !== end) start.nextSibling.remove();
    end.before(fresh);
  });
}

/** Replace what `place` shows; the answer ends it. */
export function show(place: Element, make: () => Child): () => void {
  const [, end] = scope(() => {
    place.replaceChildren();
    add(place, make());
  });
  return end;
}
