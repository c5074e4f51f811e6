/** Requests to the server that gave this page, and to no other. */

import type { Problem } from "./types";

const token = document.querySelector<HTMLMetaElement>('meta[name="refledge-token"]')?.content ?? "";

export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly kind: string,
    message: string,
    readonly problems: Problem[],
    readonly details: Record<string, unknown>,
  ) {
    super(message);
  }
}

export async function get<T>(path: string): Promise<T> {
  return (await send("GET", path)).json() as Promise<T>;
}

export async function post<T>(path: string, body: unknown = {}): Promise<T> {
  return (await send("POST", path, body)).json() as Promise<T>;
}

export async function patch<T>(path: string, body: unknown): Promise<T> {
  return (await send("PATCH", path, body)).json() as Promise<T>;
}

export async function put<T>(path: string, body: unknown): Promise<T> {
  return (await send("PUT", path, body)).json() as Promise<T>;
}

export async function remove(path: string): Promise<void> {
  await send("DELETE", path);
}

export async function bytes(path: string): Promise<ArrayBuffer> {
  return (await send("GET", path)).arrayBuffer();
}

export async function putText<T>(path: string, text: string): Promise<T> {
  const headers = { "Content-Type": "text/csv" };
  return (await send("PUT", path, text, headers)).json() as Promise<T>;
}

export async function stream(
  path: string,
  signal: AbortSignal,
): Promise<ReadableStream<Uint8Array>> {
  const answer = await call(path, { method: "GET", headers: own(), signal, cache: "no-store" });
  if (!answer.body) throw new Refused(answer.status, "fault", "the server sent no events", [], {});
  return answer.body;
}

/** Ask for a file and hand it to the browser's downloads. */
export async function download(path: string, name: string): Promise<void> {
  const blob = await (await send("GET", path)).blob();
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

async function send(
  method: string,
  path: string,
  body?: unknown,
  headers?: Record<string, string>,
): Promise<Response> {
  const text = typeof body === "string";
  const json = body === undefined || text ? {} : { "Content-Type": "application/json" };
  const init: RequestInit = { method, headers: own({ ...json, ...headers }) };
  if (body !== undefined) init.body = text ? body : JSON.stringify(body);
  return call(path, init);
}

function own(more: Record<string, string> = {}): Record<string, string> {
  return { "X-Refledge-Token": token, ...more };
}

async function call(path: string, init: RequestInit): Promise<Response> {
  let answer: Response;
  try {
    answer = await fetch(path, init);
  } catch (error) {
    if (init.signal?.aborted) throw error;
    throw new Refused(0, "away", "The workbench does not answer. Is it still running?", [], {});
  }
  if (answer.ok) return answer;
  throw await refusal(answer);
}

async function refusal(answer: Response): Promise<Refused> {
  const said = (await answer.json().catch(() => ({}))) as { error?: Record<string, unknown> };
  const error = said.error ?? {};
  const message = String(error["message"] ?? `The server answered ${answer.status}.`);
  const problems = (error["problems"] ?? []) as Problem[];
  return new Refused(answer.status, String(error["kind"] ?? "fault"), message, problems, error);
}
