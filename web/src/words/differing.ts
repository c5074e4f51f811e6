/** Lines of two texts that are not in both, in their order (longest common run of lines). */

export interface Row {
  mine: string;
  theirs: string;
}

export function differing(mine: string, theirs: string): Row[] {
  const [a, b] = [mine.split("\n"), theirs.split("\n")];
  const kept = common(a, b);
  const rows: Row[] = [];
  let [i, j] = [0, 0];
  for (const [k, m] of [...kept, [a.length, b.length] as const]) {
    const count = Math.max(k - i, m - j);
    for (let step = 0; step < count; step += 1) {
      rows.push({
        mine: i + step < k ? a[i + step]! : "",
        theirs: j + step < m ? b[j + step]! : "",
      });
    }
    [i, j] = [k + 1, m + 1];
  }
  return rows;
}

/** Pairs of line numbers of a longest common subsequence (Wagner and Fischer's table). */
function common(a: readonly string[], b: readonly string[]): [number, number][] {
  const table = Array.from({ length: a.length + 1 }, () => new Uint32Array(b.length + 1));
  for (let i = a.length - 1; i >= 0; i -= 1) {
    for (let j = b.length - 1; j >= 0; j -= 1) {
      table[i]![j] =
        a[i] === b[j] ? table[i + 1]![j + 1]! + 1 : Math.max(table[i + 1]![j]!, table[i]![j + 1]!);
    }
  }
  const pairs: [number, number][] = [];
  for (let i = 0, j = 0; i < a.length && j < b.length;) {
    if (a[i] === b[j]) pairs.push([i++, j++]);
    else if (table[i + 1]![j]! >= table[i]![j + 1]!) i += 1;
    else j += 1;
  }
  return pairs;
}
