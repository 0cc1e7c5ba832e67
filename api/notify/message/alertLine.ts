import type { AlertDossier } from '../loadStories.ts';
import { standingAt } from '../standing.ts';
import type { AlertLine } from './content.ts';
import { moment } from './moment.ts';
import { timeLeft } from './timeLeft.ts';

export interface Reader {
  readonly timeZone: string;
  /** Public base address. */
  readonly origin: string;
  readonly nowMs: number;
}

/** What a message says of one alert as it stands now. */
export function alertLine(dossier: AlertDossier, { timeZone, origin, nowMs }: Reader): AlertLine {
  const { row, where } = dossier;
  const became = becameOf(dossier, nowMs, timeZone);
  const over = row.returned_at !== null || row.closed_at !== null;
  return {
    alertId: row.alert_id,
    severity: row.severity,
    title: row.title,
    where,
    since: moment(row.onset_at.getTime(), timeZone),
    left: over ? null : timeLeft(row),
    doFirst: over || row.do_first === '' ? null : row.do_first,
    became,
    url: `${origin}/alerts/${row.alert_id}`,
  };
}

function becameOf({ row, changes }: AlertDossier, nowMs: number, timeZone: string): string | null {
  const ended = row.returned_at ?? row.closed_at;
  if (ended) return `returned to normal ${moment(ended.getTime(), timeZone)}`;
  const standing = standingAt(changes, nowMs);
  if (standing.held) return row.state === 'out-of-service' ? 'out of service' : row.state;
  if (standing.acknowledged) return `acknowledged by ${row.acknowledged_by ?? standing.acknowledgedBy}`;
  return null;
}
