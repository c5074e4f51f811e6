import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { JobKind, Results } from "../src/api/types";
import { followWishes, put, start, withdraw } from "../src/state/starting";
import { trouble } from "../src/state/edits";
import { jobKinds, jobs, results } from "../src/state/study";

const BUSY = { error: { kind: "busy", message: "the frame is still being sized" } };
const DONE = { id: "j1", kind: "build", state: "running", started: 1 };
let asked: string[] = [];
let answers: Response[] = [];
let end = (): void => undefined;

const answer = (body: unknown, status: number): Response =>
  new Response(JSON.stringify(body), { status, headers: { "Content-Type": "application/json" } });
const standing = (sizing: string, solids = "current"): Results =>
  ({ basis: "sized", sizing, solids, checks: [] }) as unknown as Results;
const settled = (): Promise<void> => new Promise((done) => setTimeout(done, 5));

beforeEach(() => {
  [asked, answers] = [[], []];
  vi.stubGlobal("fetch", (path: string) => {
    asked.push(path);
    return Promise.resolve(answers.shift()!);
  });
  jobKinds.set([
    { kind: "build", title: "Write the build", about: "", wants: "results" } as JobKind,
  ]);
  jobs.set([]);
  trouble.set("");
  results.set(standing("running"));
  end = followWishes();
});
afterEach(() => {
  end();
  withdraw("build");
  vi.unstubAllGlobals();
});

describe("work that wants a frame still being sized", () => {
  it("waits without a complaint, and begins by itself when frame and solids are there", async () => {
    answers = [answer(BUSY, 409), answer(DONE, 202)];
    await start("build");
    expect([put().has("build"), trouble()]).toEqual([true, ""]);
    results.set(standing("current", "following"));
    await settled();
    expect(asked).toHaveLength(1);
    results.set(standing("current"));
    await settled();
    expect(asked).toHaveLength(2);
    expect(put().size).toBe(0);
    expect(jobs().map(({ id }) => id)).toEqual(["j1"]);
  });

  it("is not begun once it has been withdrawn", async () => {
    answers = [answer(BUSY, 409)];
    await start("build");
    withdraw("build");
    results.set(standing("current"));
    await settled();
    expect(asked).toHaveLength(1);
  });

  it("is told of where the sizing fails", async () => {
    answers = [answer(BUSY, 409)];
    await start("build");
    results.set(standing("failed"));
    await settled();
    expect(trouble()).toContain("Write the build");
    expect([asked.length, put().size]).toEqual([1, 0]);
  });
});
