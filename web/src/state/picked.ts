/** What is picked, in the picture and in the tables alike. */

import { signal } from "../kit/signal";

export interface Picked {
  /** Keys of parts or items whose bodies are picked. */
  keys: readonly string[];
  /** One body of them where the picture was clicked, such as "arm 3". */
  name: string | null;
}

export const picked = signal<Picked>({ keys: [], name: null });
/** The check whose load and parts the picture shows. */
export const openCheck = signal<string | null>(null);

export function pick(keys: readonly string[], name: string | null = null): void {
  picked.set({ keys, name });
}

export function isPicked(keys: readonly string[]): boolean {
  return picked().keys.some((key) => keys.includes(key));
}
