/** What an installer's note on a hop says, as far as it bears on causes. Null where the note is silent. */
export interface HopContents {
  readonly amplifier: boolean;
  /** Outputs of the splitter named first. */
  readonly splitterWays: number | null;
  readonly cableM: number | null;
  readonly lies: 'outdoors' | 'under a roof' | 'indoors' | null;
  /** Ladders, roofs, lifts or risers are likely. */
  readonly high: boolean;
  readonly fibre: boolean;
}

const FOOT_M = 0.3048;
const NUMBER_WORDS: Readonly<Record<string, number>> = {
  two: 2,
  three: 3,
  four: 4,
  six: 6,
  eight: 8,
  sixteen: 16,
};

/**
 * Reads a hop note.
 *
 * @example hopContents('4-way splitter (7.2 dB), 62 m of series 11 cable, outdoors') // splitterWays 4, cableM 62, outdoors
 */
export function hopContents(note: string): HopContents {
  const text = note.toLowerCase();
  return {
    amplifier: /\bamp(lifier|s)?\b/.test(text),
    splitterWays: splitterWays(text),
    cableM: cableM(text),
    lies: whereItLies(text),
    high: /roof|ceiling|attic|loft|riser|shaft|\blift\b|ladder|pole|mast/.test(text),
    fibre: /fib(re|er)|optical|\bnode\b/.test(text),
  };
}

function splitterWays(text: string): number | null {
  const named = /\b(\d+|two|three|four|six|eight|sixteen)[ -]?way\b/.exec(text)?.[1];
  return named === undefined ? null : (NUMBER_WORDS[named] ?? Number(named));
}

function cableM(text: string): number | null {
  const [, amount, unit] = /(\d+(?:\.\d+)?) ?(m|metres?|meters?|ft|feet)\b/.exec(text) ?? [];
  if (amount === undefined || unit === undefined) return null;
  return unit.startsWith('f') ? Number(amount) * FOOT_M : Number(amount);
}

function whereItLies(text: string): HopContents['lies'] {
  if (/outdoor|outside|\bduct|buried|underground|aerial/.test(text)) return 'outdoors';
  if (/roof|ceiling|attic|loft/.test(text)) return 'under a roof';
  return /indoor|inside/.test(text) ? 'indoors' : null;
}
