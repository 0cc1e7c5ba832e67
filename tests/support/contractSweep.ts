/** One sweep as a sender writes it, good in every field; `over` replaces what a test is about. */
export function aSweep(over: Record<string, unknown> = {}): Record<string, unknown> {
  return {
    point: 'handoff',
    at: '2026-03-01T12:00:00Z',
    instrument: 'probe-7',
    ambient_c: 21.5,
    freq_mhz: [57, 63, 69],
    level_dbmv: [20.1, 19.8, null],
    mer_db: [41.2, null, null],
    cnr_db: [null, 46, null],
    ber_pre: null,
    ber_post: null,
    lost: [69],
    ...over,
  };
}
