/** The project's log: read when it is looked at, and whenever an entry comes. */

import { get, post, Refused } from "../api/client";
import type { Logbook } from "../api/breaking";
import type { Problem } from "../api/types";
import { signal } from "../kit/signal";

export const logbook = signal<Logbook | null>(null);

export async function readLog(): Promise<void> {
  try {
    logbook.set(await get<Logbook>("/api/logbook"));
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    logbook.set(null);
  }
}

/** Write one entry; what the server refused of it, none where it stands. */
export async function writeLog(
  form: string,
  values: Record<string, string>,
): Promise<{ said: string; problems: readonly Problem[]; message: string }> {
  try {
    const answer = await post<{ said: string; logbook: Logbook }>("/api/logbook", { form, values });
    logbook.set(answer.logbook);
    return { said: answer.said, problems: [], message: "" };
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    return { said: "", problems: error.problems, message: error.message };
  }
}
