/** Values that tell their readers when they change. Readers run at once, in order of making. */

type Run = () => void;

interface Reader {
  run: Run;
  sources: Set<Set<Reader>>;
  owned: Run[];
  done: boolean;
}

let reading: Reader | null = null;
let owner: Run[] | null = null;
let depth = 0;
const waiting = new Set<Reader>();

export interface Signal<T> {
  (): T;
  set(value: T): void;
  /** The value without becoming its reader. */
  peek(): T;
}

export function signal<T>(first: T): Signal<T> {
  let value = first;
  const readers = new Set<Reader>();
  const read = (() => {
    if (reading) {
      readers.add(reading);
      reading.sources.add(readers);
    }
    return value;
  }) as Signal<T>;
  read.peek = () => value;
  read.set = (next) => {
    if (Object.is(next, value)) return;
    value = next;
    batch(() => {
      for (const reader of readers) waiting.add(reader);
    });
  };
  return read;
}

/** Several changes, one round of readers. */
export function batch(change: Run): void {
  depth += 1;
  try {
    change();
  } finally {
    depth -= 1;
    if (depth === 0) settle();
  }
}

function settle(): void {
  for (let rounds = 0; waiting.size > 0; rounds += 1) {
    if (rounds > 100) throw new Error("values keep changing one another");
    const now = [...waiting];
    waiting.clear();
    depth += 1;
    for (const reader of now) if (!reader.done) reader.run();
    depth -= 1;
  }
}

/** Run now and again whenever a value read inside changes; the answer stops it.
 * `soon` may put off what follows a change: it is handed the run, and calls it when it likes. */
export function effect(body: Run, soon: (again: Run) => void = (again) => again()): Run {
  const again = (): void => {
    if (!reader.done) run();
  };
  const reader: Reader = { run: () => soon(again), sources: new Set(), owned: [], done: false };
  function forget(): void {
    for (const source of reader.sources) source.delete(reader);
    reader.sources.clear();
    for (const stop of reader.owned.splice(0)) stop();
  }
  function run(): void {
    forget();
    within(reader, reader.owned, body);
  }
  function stop(): void {
    reader.done = true;
    forget();
  }
  owner?.push(stop);
  run();
  return stop;
}

/** A value worked out from others, only told on when it differs. */
export function derived<T>(work: () => T): () => T {
  const result = signal<T>(undefined as T);
  effect(() => result.set(work()));
  return result;
}

/** Everything made inside is stopped by the answer's second part. */
export function scope<T>(body: () => T): [T, Run] {
  const owned: Run[] = [];
  const made = within(null, owned, body);
  return [made, () => owned.splice(0).forEach((stop) => stop())];
}

/** Called when the surrounding scope ends or its reader runs again. */
export function onEnd(stop: Run): void {
  owner?.push(stop);
}

export function untracked<T>(body: () => T): T {
  return within(null, owner, body);
}

function within<T>(reader: Reader | null, owned: Run[] | null, body: () => T): T {
  const [before, above] = [reading, owner];
  [reading, owner] = [reader, owned];
  try {
    return body();
  } finally {
    [reading, owner] = [before, above];
  }
}
