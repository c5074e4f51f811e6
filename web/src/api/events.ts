/** The event stream, read by fetch so that it carries the token; it comes back by itself. */

import { Refused, stream } from "./client";

export interface Told {
  id: number;
  event: string;
  data: unknown;
}

const WAITS = [500, 1000, 2000, 5000]; // ms between tries

export interface Listening {
  /** Number of the last event seen, to go on from after a break. */
  after: number;
  onEvent(told: Told): void;
  onLink(up: boolean): void;
  /** The token is of another start of the server: only a new page helps. */
  onStranger(): void;
}

export function listen(to: Listening): () => void {
  const stop = new AbortController();
  void keepOn(to, stop.signal);
  return () => stop.abort();
}

async function keepOn(to: Listening, signal: AbortSignal): Promise<void> {
  for (let tries = 0; !signal.aborted; tries += 1) {
    try {
      const body = await stream(`/api/events?after=${to.after}`, signal);
      to.onLink(true);
      tries = 0;
      for await (const told of read(body)) {
        if (told.id >= 0) to.after = told.id;
        to.onEvent(told);
      }
    } catch (error) {
      if (signal.aborted) return;
      if (error instanceof Refused && error.status === 401) return to.onStranger();
    }
    if (signal.aborted) return;
    to.onLink(false);
    await new Promise((done) => setTimeout(done, WAITS[Math.min(tries, WAITS.length - 1)]));
  }
}

/** Events of a stream, one at a time (WHATWG HTML, "Server-sent events"). */
export async function* read(body: ReadableStream<Uint8Array>): AsyncGenerator<Told> {
  const reader = body.pipeThrough(new TextDecoderStream() as never).getReader();
  let rest = "";
  for (;;) {
    const { done, value } = (await reader.read()) as { done: boolean; value?: string };
    if (done) return;
    rest = (rest + value!).replace(/\r\n?/g, "\n");
    const whole = rest.split("\n\n");
    rest = whole.pop()!;
    for (const block of whole) {
      const told = parse(block);
      if (told) yield told;
    }
  }
}

function parse(block: string): Told | null {
  const told = { id: -1, event: "message", data: "" };
  for (const line of block.split("\n")) {
    const [, name, value] = /^(id|event|data): ?(.*)$/.exec(line) ?? [];
    if (name === "id") told.id = Number(value);
    else if (name === "event") told.event = value!;
    else if (name === "data") told.data += value;
  }
  return told.data ? { ...told, data: JSON.parse(told.data) as unknown } : null;
}
