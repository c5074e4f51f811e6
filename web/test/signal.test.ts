import { describe, expect, it } from "vitest";
import { batch, derived, effect, onEnd, scope, signal } from "../src/kit/signal";

describe("signals", () => {
  it("run their readers on a change, and only then", () => {
    const count = signal(1);
    const seen: number[] = [];
    effect(() => void seen.push(count()));
    count.set(2);
    count.set(2);
    expect(seen).toEqual([1, 2]);
  });

  it("run a reader of two values once for both changes", () => {
    const [a, b] = [signal(1), signal(2)];
    let runs = 0;
    effect(() => {
      a();
      b();
      runs += 1;
    });
    batch(() => {
      a.set(5);
      b.set(6);
    });
    expect(runs).toBe(2);
  });

  it("let a reader put off what follows a change, but not its first run", () => {
    const count = signal(1);
    const seen: number[] = [];
    let again = (): void => undefined;
    const stop = effect(
      () => void seen.push(count()),
      (run) => (again = run),
    );
    count.set(2);
    count.set(3);
    expect(seen).toEqual([1]);
    again();
    expect(seen).toEqual([1, 3]);
    count.set(4);
    stop();
    again();
    expect(seen).toEqual([1, 3]);
  });

  it("forget what a reader no longer reads", () => {
    const [which, a] = [signal(true), signal(1)];
    let runs = 0;
    effect(() => {
      runs += 1;
      if (which()) a();
    });
    which.set(false);
    a.set(9);
    expect(runs).toBe(2);
  });

  it("tell a derived value on only when it differs", () => {
    const number = signal(1);
    const odd = derived(() => number() % 2);
    let runs = 0;
    effect(() => {
      odd();
      runs += 1;
    });
    number.set(3);
    expect(runs).toBe(1);
    number.set(4);
    expect(runs).toBe(2);
  });

  it("end with their scope, inner ones with the outer run", () => {
    const [outer, inner] = [signal(0), signal(0)];
    let [runs, ended] = [0, 0];
    const [, end] = scope(() =>
      effect(() => {
        outer();
        onEnd(() => (ended += 1));
        effect(() => {
          inner();
          runs += 1;
        });
      }),
    );
    outer.set(1);
    inner.set(1);
    expect(runs).toBe(3);
    end();
    inner.set(2);
    outer.set(2);
    expect([runs, ended]).toEqual([3, 2]);
  });

  it("say so when values chase one another for ever", () => {
    const [a, b] = [signal(0), signal(0)];
    effect(() => b.set(a() + 1));
    expect(() => effect(() => a.set(b() + 1))).toThrow(/keep changing/);
  });
});
