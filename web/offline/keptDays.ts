import type { VisitDay } from '../../api/schemas/visits.ts';
import type { Me } from '../session.ts';
import { dropAllStored, readStored, writeStored } from './stored.ts';

const PREFIX = 'levelkeep.visit-day.';

/** A day as it was opened last, and by whom. */
export interface KeptDay {
  readonly me: Me;
  readonly day: VisitDay;
  readonly keptAt: string;
}

/** False when this device keeps nothing. */
export function keepDay(me: Me, day: VisitDay): boolean {
  return writeStored(PREFIX + day.dayId, { me, day, keptAt: new Date().toISOString() } satisfies KeptDay);
}

export function keptDay(dayId: number): KeptDay | null {
  return readStored<KeptDay>(PREFIX + dayId);
}

/** Days go when their reader signs out; results that wait to be sent stay. */
export function forgetDays(): void {
  dropAllStored(PREFIX);
}
