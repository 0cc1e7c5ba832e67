/** What one tuner has counted since it began. */
export interface CodewordCounts {
  /** Of the channel that it counted on. */
  readonly frequencyHz: number;
  readonly unerrored: number;
  readonly corrected: number;
  readonly uncorrectable: number;
  /** 32-bit counters begin again at 0 after 2^32. */
  readonly bits: 32 | 64;
  /** ifCounterDiscontinuityTime; null where the modem has none. */
  readonly discontinuity: number | null;
}

/** The counters of all tuners at one moment. */
export interface CodewordReading {
  readonly atMs: number;
  /** sysUpTime, milliseconds; null where the modem has none. */
  readonly uptimeMs: number | null;
  /** By row of the modem's tables. */
  readonly tuners: ReadonlyMap<string, CodewordCounts>;
}

/** Of the codewords between two readings, those that had errors. */
export interface CodewordRatio {
  readonly frequencyHz: number;
  readonly codewords: number;
  /** Before error correction: corrected and uncorrectable over all. */
  readonly preFec: number;
  /** After error correction: uncorrectable over all. */
  readonly postFec: number;
}

/**
 * No downstream channel carries more: 45,500 a second at 5.36 Msymbol/s, 256-QAM, 896 bits a codeword; 34,000 at
 * 6.95 Msymbol/s, 1,632 bits (own sums; rates and codeword lengths of ITU-T J.83 annexes B and A, from memory).
 */
const MOST_A_SECOND = 60_000;
const WRAP = 2 ** 32;
/** A modem's clock and ours may differ by so much, and a request may wait for so long. */
const CLOCK_SHARE = 0.01;
const CLOCK_MS = 10_000;

/**
 * The share of codewords with errors between two readings, by row of the tables. A tuner is left out when its counters
 * can't be compared: the modem restarted, the counters were set back, the tuner went to another channel, nothing was
 * received, or more was counted than a channel carries.
 */
export function codewordRatios(before: CodewordReading, after: CodewordReading): Map<string, CodewordRatio> {
  const ratios = new Map<string, CodewordRatio>();
  if (!ranOn(before, after)) return ratios;
  const most = (MOST_A_SECOND * (after.atMs - before.atMs + CLOCK_MS)) / 1000;
  for (const [row, now] of after.tuners) {
    const then = before.tuners.get(row);
    const ratio = then === undefined ? null : ratioOf(then, now, most);
    if (ratio !== null) ratios.set(row, ratio);
  }
  return ratios;
}

/** Whether the modem's own time went on as ours did. Without its time nobody knows whether it restarted. */
function ranOn(before: CodewordReading, after: CodewordReading): boolean {
  if (before.uptimeMs === null || after.uptimeMs === null) return false;
  const elapsedMs = after.atMs - before.atMs;
  const upMs = after.uptimeMs - before.uptimeMs;
  return elapsedMs > 0 && upMs >= 0 && Math.abs(upMs - elapsedMs) <= CLOCK_MS + CLOCK_SHARE * elapsedMs;
}

function ratioOf(then: CodewordCounts, now: CodewordCounts, most: number): CodewordRatio | null {
  const { frequencyHz, bits, discontinuity } = now;
  if (then.frequencyHz !== frequencyHz || then.bits !== bits || then.discontinuity !== discontinuity)
    return null;
  // Longer ago, a 32-bit counter may have gone round without being seen to.
  if (bits === 32 && most >= WRAP) return null;

  const unerrored = grown(then.unerrored, now.unerrored, bits);
  const corrected = grown(then.corrected, now.corrected, bits);
  const uncorrectable = grown(then.uncorrectable, now.uncorrectable, bits);
  if (unerrored === null || corrected === null || uncorrectable === null) return null;
  const codewords = unerrored + corrected + uncorrectable;
  if (codewords === 0 || codewords > most) return null;
  return {
    frequencyHz,
    codewords,
    preFec: (corrected + uncorrectable) / codewords,
    postFec: uncorrectable / codewords,
  };
}

/** How much a counter has grown; null when it was set back. */
function grown(then: number, now: number, bits: 32 | 64): number | null {
  if (now >= then) return now - then;
  return bits === 32 ? now - then + WRAP : null;
}
