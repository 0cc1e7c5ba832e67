/** What went wrong, by whose move mends it; each has its own exit code. */
export type ProbeErrorKind = 'usage' | 'instrument' | 'unavailable' | 'refused';

/** Exit codes of `npm run probe`; 0 is success, 1 an error that nobody foresaw, 130 an interruption. */
export const EXIT_CODES: Readonly<Record<ProbeErrorKind, number>> = {
  usage: 2,
  instrument: 3,
  unavailable: 4,
  refused: 5,
};

/**
 * Every failure that a person can mend: `message` says what happened, `action` what to do.
 * `unavailable` may pass by itself; `retryAfterMs` is the server's own wish for a pause,
 * `status` that of its answer, null when there was none.
 */
export class ProbeError extends Error {
  override readonly name = 'ProbeError';
  readonly kind: ProbeErrorKind;
  readonly action: string;
  readonly retryAfterMs: number | null;
  readonly status: number | null;

  constructor(
    kind: ProbeErrorKind,
    message: string,
    action: string,
    options: ErrorOptions & { retryAfterMs?: number | null; status?: number | null } = {},
  ) {
    super(message, options);
    this.kind = kind;
    this.action = action;
    this.retryAfterMs = options.retryAfterMs ?? null;
    this.status = options.status ?? null;
  }
}
