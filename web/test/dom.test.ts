import { describe, expect, it } from "vitest";
import { h, show } from "../src/kit/dom";
import { signal } from "../src/kit/signal";

describe("elements", () => {
  it("follow the values that their functions read", () => {
    const name = signal("arm");
    const box = h("p", { title: () => name() }, "the ", () => name());
    name.set("leg");
    expect([box.textContent, box.title]).toEqual(["the leg", "leg"]);
  });

  it("leave nothing behind when nested functions change in turn", () => {
    const [outer, inner] = [signal(1), signal(1)];
    const box = h("div", {}, () => [h("b", {}, () => `in ${inner()}`), `out ${outer()}`]);
    inner.set(2);
    outer.set(2);
    inner.set(3);
    expect(box.textContent).toBe("in 3out 2");
  });

  it("keep an input's element, and so its cursor, while a value beside it changes", () => {
    const hint = signal("a");
    const input = h("input", {});
    const box = h(
      "div",
      {},
      input,
      h("span", {}, () => hint()),
    );
    hint.set("b");
    expect(box.querySelector("input")).toBe(input);
  });

  it("take an attribute away for false, null and undefined", () => {
    const on = signal(true);
    const box = h("button", { disabled: () => on() });
    on.set(false);
    expect(box.hasAttribute("disabled")).toBe(false);
  });

  it("put texts in as texts", () => {
    expect(h("p", {}, "<img src=x>").children.length).toBe(0);
  });

  it("stop following once what they show is replaced", () => {
    const value = signal(0);
    let reads = 0;
    const place = h("main");
    const end = show(place, () => () => {
      reads += 1;
      return value();
    });
    end();
    value.set(1);
    expect(reads).toBe(1);
  });
});
