import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Brief, Edited, Results, State } from "../src/api/types";
import { brief, hashKnown, last, results, said, takeEdit, takeState } from "../src/state/study";

let revision = 0;
const verdict = (headline: string): Results => ({ headline, checks: [] }) as unknown as Results;
const answer = (headline: string): Edited => ({
  revision: ++revision,
  brief: { hash: headline } as Brief,
  results: verdict(headline),
  charts: {} as Edited["charts"],
  took_ms: 1,
});
const state = (headline: string): State =>
  ({ ...answer(headline), jobs: [], job_kinds: [], variants: [] }) as unknown as State;
const frames = (): Promise<void> => vi.advanceTimersByTimeAsync(50).then(() => undefined);

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal("fetch", () => Promise.reject(new Error("no server")));
  takeState(state("before"));
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe("the answer to an edit", () => {
  it("gives its verdict at once and all the rest after the next frame", async () => {
    const edits = last().edits;
    takeEdit(answer("after"));
    expect(said()?.headline).toBe("after");
    expect(last().edits).toBe(edits + 1);
    expect(results()?.headline).toBe("before");
    await frames();
    expect(results()?.headline).toBe("after");
    expect(brief()?.hash).toBe("after");
  });

  it("tells the next edit what text it was made on, before that text is on the page", () => {
    takeEdit(answer("after"));
    expect(hashKnown()).toBe("after");
  });

  it("gives way to a newer one, and to a newer state, before its rest is shown", async () => {
    const seen: (string | undefined)[] = [];
    takeEdit(answer("first"));
    takeEdit(answer("second"));
    await frames();
    seen.push(results()?.headline);
    takeEdit(answer("third"));
    takeState(state("fourth"));
    await frames();
    seen.push(results()?.headline, said()?.headline);
    expect(seen).toEqual(["second", "fourth", "fourth"]);
  });

  it("is left alone where an edit has overtaken it", async () => {
    const late = answer("late");
    takeEdit(answer("now"));
    takeEdit(late);
    await frames();
    expect([said()?.headline, results()?.headline]).toEqual(["now", "now"]);
  });
});
