import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { later } from "../src/kit/later";

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

describe("work put off", () => {
  it("is done once, after the last asking", () => {
    const work = vi.fn();
    const ask = later(100, work);
    ask();
    vi.advanceTimersByTime(80);
    ask();
    vi.advanceTimersByTime(80);
    expect(work).not.toHaveBeenCalled();
    vi.advanceTimersByTime(30);
    expect(work).toHaveBeenCalledOnce();
  });

  it("waits for what is urgent, and is not forgotten", () => {
    let urgent = true;
    const work = vi.fn();
    later(100, work, () => urgent)();
    vi.advanceTimersByTime(500);
    expect(work).not.toHaveBeenCalled();
    urgent = false;
    vi.advanceTimersByTime(100);
    expect(work).toHaveBeenCalledOnce();
  });
});
