import type { PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import { planInForce } from '../../ingest/plan/planInForce.ts';
import type { Db } from '../../ingest/store/database.ts';
import type { BaselineRow } from '../../ingest/store/schema.ts';
import { baselineInForce } from '../baseline/baselineQueries.ts';
import { loadPoint, type PointContext } from '../baseline/loadPoint.ts';
import type { TypedReference } from './typedRows.ts';

/** One carrier of the baseline, by the plan in force. */
export interface ThenCarrier {
  readonly freqMhz: number;
  readonly planned: PlannedChannel | null;
  readonly levelDbmv: number | null;
  readonly merDb: number | null;
}

export interface TypedContext extends PointContext, Omit<TypedReference, 'limitSet'> {
  readonly thenCarriers: readonly ThenCarrier[];
}

/**
 * What figures typed at a point are held against.
 * @throws NotFound when the site has no such point
 */
export async function typedContext(
  db: Db,
  siteId: number,
  pointId: number,
  atMs: number,
): Promise<TypedContext> {
  const context = await loadPoint(db, siteId, pointId);
  const plan = planInForce(context.planVersions, atMs);
  const baseline = await baselineInForce(db, siteId, pointId, atMs);
  const carriers = baseline === null ? [] : carriersOf(baseline, plan);
  const byChannel = new Map(carriers.flatMap((one) => (one.planned ? [[one.planned.channel, one]] : [])));
  return {
    ...context,
    plan,
    baseline,
    thenCarriers: carriers,
    baselineAt(freqMhz) {
      const channel = plan === null ? null : matchChannels([freqMhz], plan).channels[0];
      if (channel) return byChannel.get(channel.channel) ?? null;
      return carriers.find((carrier) => Math.abs(carrier.freqMhz - freqMhz) < 1e-6) ?? null;
    },
  };
}

function carriersOf(baseline: BaselineRow, plan: TypedContext['plan']): ThenCarrier[] {
  const freqMhz = baseline.freq_hz.map((hz) => hz / 1e6);
  const matched = plan === null ? [] : matchChannels(freqMhz, plan).channels;
  return freqMhz.map((mhz, i) => ({
    freqMhz: mhz,
    planned: matched[i] ?? null,
    levelDbmv: hundredths(baseline.level_cdbmv[i]),
    merDb: hundredths(baseline.mer_cdb?.[i]) ?? hundredths(baseline.cnr_cdb?.[i]),
  }));
}

function hundredths(value: number | null | undefined): number | null {
  return value == null ? null : value / 100;
}
