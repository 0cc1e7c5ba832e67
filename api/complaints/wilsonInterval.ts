/** Two-sided 95 % of the normal distribution. */
const Z = 1.959963984540054;

/**
 * 95 % interval of a share of which `hits` of `of` were seen: E. B. Wilson, "Probable inference, the law of succession, and
 * statistical inference", J. Amer. Stat. Assoc. 22, 1927, pages 209–212. Null when nothing was counted.
 *
 * @example wilsonInterval(0, 20) // { low: 0, high: 0.161 }
 */
export function wilsonInterval(hits: number, of: number): { low: number; high: number } | null {
  if (of === 0) return null;
  const share = hits / of;
  const scale = 1 + Z ** 2 / of;
  const middle = (share + Z ** 2 / (2 * of)) / scale;
  const half = (Z / scale) * Math.sqrt((share * (1 - share)) / of + Z ** 2 / (4 * of ** 2));
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}
