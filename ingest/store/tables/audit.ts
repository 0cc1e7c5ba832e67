import type { ColumnType, Generated } from 'kysely';

/** One change by a person or a token. `site_id` is a note, not a key: the row outlives what it speaks of. */
export interface AuditTable {
  audit_id: Generated<number>;
  at: Date;
  by_whom: string;
  /** "session", "token", "link" for a one-time link, or what else acted. */
  via: string;
  action: string;
  subject_kind: string;
  subject_id: string;
  site_id: number | null;
  /** Null where there was nothing before, or nothing after. */
  before: ColumnType<unknown, string | null, never>;
  after: ColumnType<unknown, string | null, never>;
}
