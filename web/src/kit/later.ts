/** Work that waits until asking for it has stopped for a while, and nothing more urgent is under way. */

export function later(wait: number, work: () => void, urgent = (): boolean => false): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const ask = (): void => {
    clearTimeout(timer);
    timer = setTimeout(() => (urgent() ? ask() : work()), wait);
  };
  return ask;
}
