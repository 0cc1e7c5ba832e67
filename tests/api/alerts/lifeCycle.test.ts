import { describe, expect, test } from 'vitest';
import { ALERT_ACTS, type AlertAct, mayAct, nextState } from '../../../api/alerts/lifeCycle.ts';
import { ApiError } from '../../../api/errors.ts';
import { ALERT_STATES, type AlertState } from '../../../ingest/store/schema.ts';

type Row = [from: AlertState, act: AlertAct, stands: boolean, to: AlertState];

/** Every transition there is, by the states of ISA-18.2. */
const ALLOWED: readonly Row[] = [
  ['normal', 'raise', true, 'active-unacknowledged'],
  ['normal', 'suppress', true, 'suppressed'],
  ['active-unacknowledged', 'acknowledge', true, 'active-acknowledged'],
  ['active-unacknowledged', 'return', false, 'returned-unacknowledged'],
  ['active-unacknowledged', 'escalate', true, 'active-unacknowledged'],
  ['active-unacknowledged', 'shelve', true, 'shelved'],
  ['active-unacknowledged', 'suppress', true, 'suppressed'],
  ['active-unacknowledged', 'take-out-of-service', true, 'out-of-service'],
  ['active-acknowledged', 'return', false, 'normal'],
  ['active-acknowledged', 'escalate', true, 'active-unacknowledged'],
  ['active-acknowledged', 'shelve', true, 'shelved'],
  ['active-acknowledged', 'suppress', true, 'suppressed'],
  ['active-acknowledged', 'take-out-of-service', true, 'out-of-service'],
  ['returned-unacknowledged', 'raise', true, 'active-unacknowledged'],
  ['returned-unacknowledged', 'acknowledge', false, 'normal'],
  ['returned-unacknowledged', 'shelve', false, 'shelved'],
  ['returned-unacknowledged', 'suppress', true, 'suppressed'],
  ['returned-unacknowledged', 'take-out-of-service', false, 'out-of-service'],
  ['shelved', 'unshelve', true, 'active-unacknowledged'],
  ['shelved', 'unshelve', false, 'normal'],
  ['shelved', 'take-out-of-service', true, 'out-of-service'],
  ['suppressed', 'unsuppress', true, 'active-unacknowledged'],
  ['suppressed', 'unsuppress', false, 'normal'],
  ['suppressed', 'take-out-of-service', true, 'out-of-service'],
  ['out-of-service', 'return-to-service', true, 'active-unacknowledged'],
  ['out-of-service', 'return-to-service', false, 'normal'],
];

describe('the life cycle', () => {
  test.each(ALLOWED)('%s: %s (stands: %s) leads to %s', (from, act, stands, to) => {
    expect(mayAct(from, act)).toBe(true);
    expect(nextState(from, act, stands)).toBe(to);
  });

  const refused = ALERT_STATES.flatMap((from) =>
    ALERT_ACTS.filter((act) => !ALLOWED.some(([state, allowed]) => state === from && allowed === act)).map(
      (act) => [from, act] as const,
    ),
  );

  test.each(refused)('%s: %s is refused with what to do', (from, act) => {
    expect(mayAct(from, act)).toBe(false);
    try {
      nextState(from, act, true);
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(ApiError);
      expect(error).toMatchObject({ status: 409, code: 'alert-state' });
      expect((error as ApiError).action).not.toBe('');
    }
  });
});
