import type { Transaction } from 'kysely';
import { announceChange } from '../../ingest/store/announceChange.ts';
import type { Db } from '../../ingest/store/database.ts';
import { inTransaction } from '../../ingest/store/inTransaction.ts';
import type { BaselineRow, Database } from '../../ingest/store/schema.ts';
import { listed } from '../diagnosis/words.ts';
import { ApiError } from '../errors.ts';
import type { BreachView } from '../schemas/common.ts';
import type { BaselineCarrier } from './buildBaseline.ts';
import { type BaselineProposal, type BaselineWindow, proposeBaseline } from './proposeBaseline.ts';

/** A message that names more than these is no longer read. */
const SHOWN_BREACHES = 5;

export interface Acceptance {
  /** The person who signs. */
  readonly acceptedBy: string;
  readonly acceptedAtMs: number;
  /** Why it is accepted although something lies outside the limits. */
  readonly exceptionNote?: string | undefined;
  /** Sweeps from here on are judged against it; the start of the window when absent. */
  readonly effectiveFromMs?: number | undefined;
}

/** Something lies outside the limits and nobody noted why that is accepted. */
export class BaselineOutside extends ApiError {
  override readonly name = 'BaselineOutside';
  readonly outside: readonly BreachView[];

  constructor(outside: readonly BreachView[]) {
    super(
      422,
      'baseline-outside-limits',
      `outside the limits: ${listed(outside.map(breachWords), SHOWN_BREACHES)}`,
      'put it right and choose a newer window, or send an exceptionNote that says why it is accepted',
    );
    this.outside = outside;
  }
}

/**
 * Keeps a window's medians as the next baseline version of its point and has the engine judge again from
 * `effectiveFrom` on. Versions are never overwritten.
 *
 * @throws BaselineOutside when something misses the limits and no exception is noted
 * @throws ApiError 409 when it would take effect before the version it follows; and what
 * {@link proposeBaseline} throws
 */
export async function acceptBaseline(
  db: Db,
  window: BaselineWindow,
  acceptance: Acceptance,
): Promise<BaselineRow> {
  const proposal = await proposeBaseline(db, window);
  const { outside } = proposal.draft;
  if (outside.length > 0 && !acceptance.exceptionNote) throw new BaselineOutside(outside);

  return inTransaction(db, async (trx) => {
    const previous = await lockNewest(trx, window);
    const effectiveFromMs = acceptance.effectiveFromMs ?? window.fromMs;
    checkFollows(previous, effectiveFromMs);

    const kept = await keep(trx, proposal, acceptance, (previous?.version ?? 0) + 1, effectiveFromMs);
    await announceChange(trx, window.siteId, [window.pointId], effectiveFromMs);
    return kept;
  });
}

/** Two people who accept at once take turns on the point's row. */
async function lockNewest(
  trx: Transaction<Database>,
  { siteId, pointId }: BaselineWindow,
): Promise<Pick<BaselineRow, 'version' | 'effective_from'> | undefined> {
  await trx
    .selectFrom('point')
    .select('point_id')
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .forUpdate()
    .execute();
  return trx
    .selectFrom('baseline')
    .select(['version', 'effective_from'])
    .where('site_id', '=', siteId)
    .where('point_id', '=', pointId)
    .orderBy('version', 'desc')
    .limit(1)
    .executeTakeFirst();
}

function checkFollows(
  previous: Pick<BaselineRow, 'version' | 'effective_from'> | undefined,
  effectiveFromMs: number,
): void {
  if (previous === undefined || effectiveFromMs >= previous.effective_from.getTime()) return;
  throw new ApiError(
    409,
    'baseline-before-previous',
    `effectiveFrom ${iso(effectiveFromMs)} lies before version ${previous.version}, effective from ${previous.effective_from.toISOString()}`,
    'send an effectiveFrom at or after that moment',
  );
}

function keep(
  trx: Transaction<Database>,
  { window, draft }: BaselineProposal,
  acceptance: Acceptance,
  version: number,
  effectiveFromMs: number,
): Promise<BaselineRow> {
  const { carriers } = draft;
  return trx
    .insertInto('baseline')
    .values({
      site_id: window.siteId,
      point_id: window.pointId,
      version,
      effective_from: new Date(effectiveFromMs),
      from_at: new Date(window.fromMs),
      to_at: new Date(window.toMs),
      sweeps: draft.sweeps,
      instruments: [...draft.instruments],
      freq_hz: carriers.map(({ freqMhz }) => Math.round(freqMhz * 1e6)),
      level_cdbmv: hundredths(carriers, 'levelDbmv'),
      level_spread_cdb: hundredths(carriers, 'levelSpreadDb'),
      mer_cdb: hundredthsOrNull(carriers, 'merDb'),
      mer_spread_cdb: hundredthsOrNull(carriers, 'merSpreadDb'),
      cnr_cdb: hundredthsOrNull(carriers, 'cnrDb'),
      level_dbmv: draft.levelDbmv,
      tilt_db: draft.tiltDb,
      flatness_db: draft.flatnessDb,
      worst_mer_margin_db: draft.worstMerMarginDb,
      ambient_c: draft.ambientC,
      outside: JSON.stringify(draft.outside),
      exception_note: acceptance.exceptionNote ?? null,
      accepted_by: acceptance.acceptedBy,
      accepted_at: new Date(acceptance.acceptedAtMs),
    })
    .returningAll()
    .executeTakeFirstOrThrow();
}

type CarrierValue = 'levelDbmv' | 'levelSpreadDb' | 'merDb' | 'merSpreadDb' | 'cnrDb';

function hundredths(carriers: readonly BaselineCarrier[], value: CarrierValue): (number | null)[] {
  return carriers.map((carrier) => (carrier[value] === null ? null : Math.round(carrier[value] * 100)));
}

function hundredthsOrNull(
  carriers: readonly BaselineCarrier[],
  value: CarrierValue,
): (number | null)[] | null {
  return carriers.every((carrier) => carrier[value] === null) ? null : hundredths(carriers, value);
}

/** "level of channel 95 is 14.2 dBmV (at least 17 dBmV)". */
function breachWords({ quantity, channel, value, unit, limit }: BreachView): string {
  const what = channel === null ? quantity : `${quantity} of channel ${channel}`;
  return `${what} is ${Number(value.toFixed(2))} ${unit} (${limit})`;
}

function iso(ms: number): string {
  return new Date(ms).toISOString();
}
