import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { afterFrame } from "../src/kit/frame";

let frame: FrameRequestCallback | null = null;

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal("requestAnimationFrame", (work: FrameRequestCallback) => {
    frame = work;
    return 1;
  });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

describe("work after a frame", () => {
  it("is done once, when the frame has been drawn", () => {
    const work = vi.fn();
    afterFrame(work);
    frame!(0);
    expect(work).not.toHaveBeenCalled(); // that frame is about to be painted
    vi.advanceTimersByTime(1);
    expect(work).toHaveBeenCalledOnce();
    vi.advanceTimersByTime(1000);
    expect(work).toHaveBeenCalledOnce();
  });

  it("is done without one where the page is not seen", () => {
    const work = vi.fn();
    afterFrame(work);
    vi.advanceTimersByTime(1000);
    expect(work).toHaveBeenCalledOnce();
  });
});
