import { createHash } from 'node:crypto';
import type { Db } from '../../ingest/store/database.ts';
import type { Reach } from '../schemas/notify.ts';
import { reachOf } from './reach.ts';
import { findTarget } from './targets.ts';

const MARK_LENGTH = 8;

export interface TargetSetUp {
  readonly kind: 'person' | 'mailbox' | 'webhook';
  readonly name: string;
  readonly address: string | null;
  readonly webhook: string | null;
  readonly reach: Reach | null;
}

/**
 * How a target is set up, fit to be kept for good: of a webhook's address the host only, since whoever knows the rest may be able to
 * post there. Throws NotFound.
 */
export async function findTargetSetUp(db: Db, targetId: number): Promise<TargetSetUp> {
  const { row, name, address } = await findTarget(db, targetId);
  const isWebhook = row.kind === 'webhook';
  return {
    kind: row.kind,
    name,
    address,
    webhook: isWebhook ? webhookWords(row.url!) : null,
    reach: isWebhook ? null : reachOf(row),
  };
}

/** "desk.example, address 3f9a1c2b"; the mark is another for every address. */
function webhookWords(url: string): string {
  const mark = createHash('sha256').update(url).digest('hex').slice(0, MARK_LENGTH);
  return `${new URL(url).host}, address ${mark}`;
}
