/** A number in a text stepped up or down, its unit and number of places kept. */

export function nudged(
  text: string,
  way: 1 | -1,
  coarse: boolean,
  step: number | null,
): string | null {
  const match = /^\s*([-+]?\d*\.?\d+)(.*)$/.exec(text);
  if (!match) return null;
  const [, number, rest] = match;
  const places = (number!.split(".")[1] ?? "").length;
  const least = step ?? 10 ** -places;
  const moved = Number(number) + way * least * (coarse ? 10 : 1);
  const kept = step === null ? places : Math.max(places, decimals(step));
  return `${moved.toFixed(kept)}${rest}`;
}

function decimals(step: number): number {
  const text = String(Number(step.toPrecision(3)));
  return (text.split(".")[1] ?? "").length;
}
