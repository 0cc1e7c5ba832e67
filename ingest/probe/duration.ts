const UNIT_MS: Readonly<Record<string, number>> = { s: 1_000, m: 60_000, h: 3_600_000 };

/** "30s", "15m" or "2h" in milliseconds; null when the text is no such thing. */
export function durationMs(text: string): number | null {
  const [, digits, unit] = /^(\d{1,6})([smh])$/.exec(text) ?? [];
  return unit === undefined ? null : Number(digits) * UNIT_MS[unit]!;
}
