/** The workbench's page. */

import "./style/ink.css";
import "./style/ruler.css";
import "./style/slips.css";
import "./style/tables.css";
import "./style/checks.css";
import "./style/book.css";
import "./style/page.css";
import "./style/view.css";
import { later } from "./kit/later";
import { listen, type Told } from "./api/events";
import type { Job, Variant } from "./api/types";
import { conflict, trouble } from "./state/edits";
import { followOutcomes } from "./state/outcomes";
import { readLog } from "./state/logbook";
import { followTheme } from "./state/prefs";
import { followWishes } from "./state/starting";
import { busy, linked, refresh, takeJob, variants } from "./state/study";
import { followKeys } from "./shell/keys";
import { shell } from "./shell/shell";
import { get, Refused } from "./api/client";

followTheme();
followKeys();
followOutcomes();
followWishes();
document.body.append(shell());
void begin();

async function begin(): Promise<void> {
  const state = await refresh().catch((error: unknown) => {
    trouble.set(error instanceof Refused ? error.message : String(error));
  });
  if (!state) return;
  if (state.conflict !== false) await askAboutFile();
  listen({
    after: state.last_event,
    onEvent: (told) => void hear(told),
    onLink: (up) => linked.set(up),
    onStranger: () => location.reload(),
  });
}

/** Events of one change come together; ms. */
const refreshSoon = later(120, () => void refresh(), busy.peek);

async function hear({ event, data }: Told): Promise<void> {
  if (event === "job") takeJob(data as Job);
  else if (event === "variants") variants.set(data as Variant[]);
  else if (event === "logbook") await readLog();
  else if (event === "solids") refreshSoon();
  else if (event === "external") await askAboutFile();
  else if (event === "results" || event === "reload") refreshSoon();
}

/** Ask as soon as the file is not ours any more, and again after a reload. */
async function askAboutFile(): Promise<void> {
  try {
    const found = await get<{ mine: string; theirs: string; theirs_hash: string; message: string }>(
      "/api/conflict",
    );
    conflict.set({ ...found, theirsHash: found.theirs_hash });
  } catch (error) {
    if (!(error instanceof Refused)) throw error;
    conflict.set(null); // no conflict (any more)
  }
}
