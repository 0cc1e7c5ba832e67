import type { DayProposal, VisitResultView } from '../../../api/schemas/visits.ts';
import type { VisitOutcome } from '../../../ingest/store/schema.ts';
import { formatMoment, plural } from '../../format.ts';

export const OUTCOME_WORD: Readonly<Record<VisitOutcome, string>> = {
  repaired: 'Repaired',
  'nothing-found': 'Looked, found nothing',
  reported: 'Reported to the provider',
  'not-done': 'Not done: no access or no time',
};
export const OUTCOMES = Object.keys(OUTCOME_WORD) as VisitOutcome[];

/** Why sites with open alerts aren't in the day. */
export const LEFT_WORD: Readonly<Record<DayProposal['left'][number]['reason'], string>> = {
  'no-room': 'Too far or too long for the hours that are left',
  'left-out': 'Left out by you',
  'planned-already': 'In another day already',
  'waiting-for-sweeps': 'Looked into in the last three days: waiting for sweeps',
  'provider-side': 'On the provider’s side: report it, no visit mends it',
};

/** "25 min", "1 h 40 min". */
export function formatMinutes(minutes: number): string {
  const whole = Math.round(minutes);
  if (whole < 60) return `${whole} min`;
  const rest = whole % 60;
  return rest === 0 ? `${Math.floor(whole / 60)} h` : `${Math.floor(whole / 60)} h ${rest} min`;
}

/** What the sweeps say of a reported repair; empty where nothing was repaired. */
export function standingSentence({ standing, timeZone }: VisitResultView): string {
  const { state, at, hoursRead } = standing;
  switch (state) {
    case 'confirmed':
      return `Confirmed by sweeps, ${formatMoment(at!, timeZone)}.`;
    case 'new-baseline':
      return `Settled by a new baseline, ${formatMoment(at!, timeZone)}.`;
    case 'normal-changed':
      return 'The readings have held at a new value for a day. If this is the new normal, accept it as a baseline.';
    case 'still-there':
      return 'Not confirmed: three days of sweeps after the work, and the finding is still open.';
    case 'waiting':
      return hoursRead === 0
        ? 'Repair reported, waiting for sweeps to confirm. None has come in since.'
        : `Repair reported, waiting for sweeps to confirm: ${plural(hoursRead, 'hour')} of them so far.`;
    case 'not-asked':
      return '';
  }
}
