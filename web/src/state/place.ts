/** Which page is open: kept in the address, so that a reload comes back to it. */

import { signal } from "../kit/signal";

export const place = signal(read());

function read(): string {
  return location.hash.replace(/^#\/?/, "") || "have";
}

addEventListener("hashchange", () => place.set(read()));

export function go(key: string): void {
  location.hash = `/${key}`;
}
