import type { Db } from '../../ingest/store/database.ts';
import type { NotifyTargetRow } from '../../ingest/store/schema.ts';
import { withAccounts } from '../accounts/tables.ts';
import { NotFound } from '../errors.ts';
import type { Hours } from './quietHours.ts';

export interface Target {
  readonly row: NotifyTargetRow;
  /** Where mail goes; null for a webhook, and for a person whose account is disabled. */
  readonly address: string | null;
  /** A person's own name, or what the target was called. */
  readonly name: string;
  readonly disabled: boolean;
}

/** All targets, by name. */
export async function loadTargets(db: Db): Promise<Target[]> {
  const rows = await withAccounts(db)
    .selectFrom('notify_target')
    .leftJoin('person', 'person.id', 'notify_target.person_id')
    .selectAll('notify_target')
    .select(['person.name as personName', 'person.email as personEmail', 'person.disabled as personDisabled'])
    .execute();
  return rows
    .map(({ personName, personEmail, personDisabled, ...row }) => {
      const disabled = personDisabled ?? false;
      const address = row.kind === 'person' ? (disabled ? null : personEmail) : row.address;
      return { row, address, name: personName ?? row.name, disabled };
    })
    .sort((a, b) => a.name.localeCompare(b.name) || a.row.target_id - b.row.target_id);
}

/** Throws 404 when there is no such target. */
export async function findTarget(db: Db, targetId: number): Promise<Target> {
  const target = (await loadTargets(db)).find(({ row }) => row.target_id === targetId);
  if (!target) throw new NotFound('target', targetId);
  return target;
}

/** "Rosa Field (e-mail)" */
export function targetTitle({ row, name }: Target): string {
  return `${name} (${row.kind === 'webhook' ? 'webhook' : 'e-mail'})`;
}

/** When messages may reach a target; null at any time. */
export function hoursOf({ row }: Target): Hours | null {
  if (row.kind === 'webhook') return null;
  const { time_zone: timeZone, quiet_from_min: fromMin, quiet_to_min: toMin, work_days: workDays } = row;
  return { timeZone, quiet: fromMin === null || toMin === null ? null : { fromMin, toMin }, workDays };
}

/** Where a message goes, as the list of messages shows it. */
export function sentTo({ row, name, address }: Target): string {
  return row.kind === 'webhook'
    ? `${name}, ${new URL(row.url!).host}`
    : `${name}, ${address ?? 'no address'}`;
}
