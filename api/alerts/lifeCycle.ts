import type { AlertState } from '../../ingest/store/schema.ts';
import { ApiError } from '../errors.ts';

/** What can happen to an alert: the condition comes, goes, gets graver; people and rules act. */
export const ALERT_ACTS = [
  'raise',
  'return',
  'escalate',
  'acknowledge',
  'shelve',
  'unshelve',
  'suppress',
  'unsuppress',
  'take-out-of-service',
  'return-to-service',
] as const;
export type AlertAct = (typeof ALERT_ACTS)[number];

type Next = AlertState | ((stands: boolean) => AlertState);

/** Once nothing holds an alert back: told anew while the condition stands, over when it doesn't. */
const released = (stands: boolean): AlertState => (stands ? 'active-unacknowledged' : 'normal');

/**
 * The life cycle of an alarm after ISA-18.2 (ANSI/ISA-18.2-2016, alarm states; from memory, to be confirmed against the current text):
 * every transition there is. A condition that ends while an alert is shelved, suppressed or out of service leaves it there; what
 * becomes of it shows when that ends.
 */
const TRANSITIONS: Readonly<Record<AlertState, Partial<Record<AlertAct, Next>>>> = {
  normal: { raise: 'active-unacknowledged', suppress: 'suppressed' },
  'active-unacknowledged': {
    acknowledge: 'active-acknowledged',
    return: 'returned-unacknowledged',
    escalate: 'active-unacknowledged',
    shelve: 'shelved',
    suppress: 'suppressed',
    'take-out-of-service': 'out-of-service',
  },
  'active-acknowledged': {
    return: 'normal',
    escalate: 'active-unacknowledged',
    shelve: 'shelved',
    suppress: 'suppressed',
    'take-out-of-service': 'out-of-service',
  },
  'returned-unacknowledged': {
    raise: 'active-unacknowledged',
    acknowledge: 'normal',
    shelve: 'shelved',
    suppress: 'suppressed',
    'take-out-of-service': 'out-of-service',
  },
  shelved: { unshelve: released, 'take-out-of-service': 'out-of-service' },
  suppressed: { unsuppress: released, 'take-out-of-service': 'out-of-service' },
  'out-of-service': { 'return-to-service': released },
};

const ACT_WORDS: Readonly<Record<AlertAct, string>> = {
  raise: 'be raised',
  return: 'return to normal',
  escalate: 'be told as graver',
  acknowledge: 'be acknowledged',
  shelve: 'be shelved',
  unshelve: 'be taken off the shelf',
  suppress: 'be suppressed',
  unsuppress: 'be told again',
  'take-out-of-service': 'be taken out of service',
  'return-to-service': 'be returned to service',
};

const STATE_WORDS: Readonly<Record<AlertState, string>> = {
  'active-unacknowledged': 'active and unacknowledged',
  'active-acknowledged': 'active and acknowledged already',
  'returned-unacknowledged': 'returned to normal, unacknowledged',
  shelved: 'shelved',
  suppressed: 'suppressed by design',
  'out-of-service': 'out of service',
  normal: 'back to normal',
};

/** Whether `act` may happen in `state`. */
export function mayAct(state: AlertState, act: AlertAct): boolean {
  return TRANSITIONS[state][act] !== undefined;
}

/**
 * The state after `act`.
 *
 * @param stands whether the condition stands, for what ends a time of silence
 * @throws ApiError 409 when that can't happen in `state`
 */
export function nextState(state: AlertState, act: AlertAct, stands: boolean): AlertState {
  const next = TRANSITIONS[state][act];
  if (next === undefined) {
    throw new ApiError(
      409,
      'alert-state',
      `the alert is ${STATE_WORDS[state]}, so it cannot ${ACT_WORDS[act]}`,
      'load the alert again and look at its state',
    );
  }
  return typeof next === 'function' ? next(stands) : next;
}
