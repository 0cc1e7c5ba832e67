/**
 * How far each carrier has moved from its baseline, dB: now less then. Null where either is missing.
 *
 * @throws RangeError when the arrays differ in length
 *
 * @example deviationDb([18, null, 20], [20, 20, null]) // [-2, null, null]
 */
export function deviationDb(
  nowDb: readonly (number | null)[],
  thenDb: readonly (number | null)[],
): (number | null)[] {
  if (nowDb.length !== thenDb.length) {
    throw new RangeError(`${nowDb.length} values now but ${thenDb.length} then; give one for each`);
  }
  return nowDb.map((now, i) => {
    const then = thenDb[i]!;
    return now === null || then === null ? null : now - then;
  });
}
