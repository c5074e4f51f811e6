/** A propeller's measured table, put beside the brief. */

import { putText, Refused } from "../api/client";
import { h } from "../kit/dom";
import { signal } from "../kit/signal";
import { edit } from "../state/edits";

const MOST = 2 * 1024 * 1024; // bytes, as the server allows

export function putTable(): HTMLElement {
  const said = signal("");
  const input = h("input", { type: "file", accept: ".csv,text/csv", id: "table-file" });
  input.addEventListener("change", () => {
    const file = input.files?.[0];
    if (file) void send(file).then((text) => said.set(text));
    input.value = "";
  });
  return h(
    "p",
    { class: "upload" },
    h("label", { for: "table-file" }, "Measured coefficients (CSV) "),
    input,
    h("output", {}, said),
  );
}

async function send(file: File): Promise<string> {
  if (file.size > MOST)
    return `${file.name} is larger than 2 MiB; a coefficient table is a few lines long.`;
  try {
    const { name } = await putText<{ name: string }>(
      `/api/tables/${encodeURIComponent(file.name)}`,
      await file.text(),
    );
    await edit([{ path: "propeller.coefficients", value: name }]);
    return `${name} is in the project folder and in the brief.`;
  } catch (error) {
    if (error instanceof Refused) return error.message;
    throw error;
  }
}
