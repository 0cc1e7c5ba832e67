import type { Db } from '../../ingest/store/database.ts';
import { type AlertRow, SEVERITIES, type Severity } from '../../ingest/store/schema.ts';
import type { AlertStory, ChangeFact } from './alertFact.ts';

/** An alert with its history, and all that a message says of it. */
export interface AlertDossier extends AlertStory {
  readonly row: AlertRow;
  /** The building and town, or whose feed. */
  readonly where: string;
}

const MANY = 1000;

/** Alerts by number with their histories; those that there aren't are left out. */
export async function loadStories(db: Db, alertIds: readonly number[]): Promise<AlertDossier[]> {
  const dossiers: AlertDossier[] = [];
  for (let i = 0; i < alertIds.length; i += MANY) {
    dossiers.push(...(await loadSome(db, alertIds.slice(i, i + MANY))));
  }
  return dossiers;
}

async function loadSome(db: Db, alertIds: readonly number[]): Promise<AlertDossier[]> {
  const rows = await db.selectFrom('alert').selectAll().where('alert_id', 'in', alertIds).execute();
  const changes = await db
    .selectFrom('alert_change')
    .selectAll()
    .where('alert_id', 'in', alertIds)
    .orderBy('alert_id')
    .orderBy('change_id')
    .execute();
  const changesOf = Map.groupBy(changes, ({ alert_id }) => alert_id);
  const sites = await namedSites(db, rows);
  const providers = new Map(
    (await db.selectFrom('provider').select(['provider_id', 'name']).execute()).map((p) => [
      p.provider_id,
      p.name,
    ]),
  );
  return rows.map((row) => {
    const site = row.site_id === null ? undefined : sites.get(row.site_id);
    const providerId = row.provider_id ?? site?.provider_id ?? null;
    return {
      row,
      alert: {
        alertId: row.alert_id,
        kind: row.kind,
        siteId: row.site_id,
        providerId,
        severity: row.severity,
        side: row.side,
        daysLeft: row.limit_days_50,
      },
      changes: (changesOf.get(row.alert_id) ?? []).map(
        ({ change_id, at, kind, by_whom, after }): ChangeFact => ({
          changeId: change_id,
          atMs: at.getTime(),
          kind,
          byWhom: by_whom,
          severity: severityIn(after),
          state: textIn(after, 'state'),
        }),
      ),
      where: site
        ? [site.name, site.town].filter(Boolean).join(', ')
        : `${providers.get(providerId ?? 0) ?? 'a provider'}’s feed, ${row.sites === 1 ? '1 site' : `${row.sites} sites`}`,
    };
  });
}

async function namedSites(db: Db, rows: readonly AlertRow[]) {
  const ids = rows.flatMap(({ site_id }) => (site_id === null ? [] : [site_id]));
  if (ids.length === 0) return new Map();
  const sites = await db
    .selectFrom('site')
    .select(['site_id', 'name', 'town', 'provider_id'])
    .where('site_id', 'in', ids)
    .execute();
  return new Map(sites.map((site) => [site.site_id, site]));
}

function severityIn(after: Record<string, unknown> | null): Severity | null {
  const found = textIn(after, 'severity');
  return SEVERITIES.find((severity) => severity === found) ?? null;
}

function textIn(after: Record<string, unknown> | null, key: string): string | null {
  const value = after?.[key];
  return typeof value === 'string' ? value : null;
}
