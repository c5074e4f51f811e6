/** A colour scale for results: even steps look even, also without colour vision or in grey. */

export type Rgb = [number, number, number];

// Ends in OKLab (Ottosson, "A perceptual color space for image processing", 2020): deep blue to
// pale yellow, lightness rising in a straight line; the same scale as the report's.
const DARK: Rgb = [0.28, -0.02, -0.11];
const LIGHT: Rgb = [0.93, -0.02, 0.11];

/** Share 0..1 to linear light. */
export function rampLinear(share: number): Rgb {
  const held = Math.min(1, Math.max(0, Number.isFinite(share) ? share : 0));
  const [L, a, b] = DARK.map((low, k) => low + held * (LIGHT[k]! - low)) as Rgb;
  const l = (L + 0.3963377774 * a + 0.2158037573 * b) ** 3;
  const m = (L - 0.1055613458 * a - 0.0638541728 * b) ** 3;
  const n = (L - 0.0894841775 * a - 1.291485548 * b) ** 3;
  return [
    4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * n,
    -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * n,
    -0.0041960863 * l - 0.7034186147 * m + 1.707614701 * n,
  ].map((c) => Math.min(1, Math.max(0, c))) as Rgb;
}

/** Share 0..1 to a colour for the page. */
export function rampCss(share: number): string {
  const [r, g, b] = rampLinear(share).map((c) =>
    Math.round(255 * (c <= 0.0031308 ? 12.92 * c : 1.055 * c ** (1 / 2.4) - 0.055)),
  );
  return `rgb(${r} ${g} ${b})`;
}
