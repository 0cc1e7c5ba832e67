import type { PlannedChannel, PlanVersion } from '../../ingest/plan/channelPlan.ts';
import { matchChannels } from '../../ingest/plan/matchChannels.ts';
import type { CarrierMedians } from '../baseline/windowMedians.ts';
import { limitFor } from '../limits/limitFor.ts';
import type { LimitSet } from '../limits/limitSet.ts';
import { qualityFloor } from '../limits/qualityFloor.ts';
import { LOST_BELOW_DB } from '../trend/observe.ts';
import type { Finding } from '../trend/types.ts';
import { ASSUMPTIONS } from './assumptions.ts';
import { bandDrift, type Rate } from './bandDrift.ts';
import type { LoadedPoint } from './loadSite.ts';
import type { NamedChannel, NamedMargin, PointFacts } from './siteFacts.ts';

/** Without a limit set of its own, quality is held to what receivers need. */
const RECEIVERS: Pick<LimitSet, 'limits'> = { limits: [] };

/**
 * A point as the assessment sees it. Margins come from the medians of its newest sweeps, so that one wild sweep
 * breaks no limit, and their rates from the drifts found at the point.
 *
 * @param outlets that hang on the point and on no point below
 * @param findings open ones at this point
 * @param dueFromMs the next sweep is due an interval after it; null while none is due
 */
export function pointFacts(
  point: LoadedPoint,
  outlets: number,
  plan: PlanVersion | null,
  findings: readonly Finding[],
  dueFromMs: number | null,
): PointFacts {
  // What is read while people work on the plant says nothing of it.
  const latest = point.latest?.inMaintenance ? null : point.latest;
  return {
    pointId: point.row.point_id,
    title: point.title,
    isHandoff: point.row.kind === 'handoff' && point.row.fed_by === null,
    fedBy: point.row.fed_by,
    outlets,
    intervalS: point.row.interval_s,
    hasBaseline: point.baseline !== null,
    lastAtMs: point.readings.lastMs,
    dueFromMs,
    channels: plan === null ? [] : channelsOf(point, outlets, plan, findings),
    levelDevDb: latest?.levelDevDb ?? null,
    tiltDevDb: latest?.tiltDevDb ?? null,
  };
}

function channelsOf(
  point: LoadedPoint,
  outlets: number,
  plan: PlanVersion,
  findings: readonly Finding[],
): NamedChannel[] {
  const { carriers, baseline } = point;
  const freqMhz = carriers.map((carrier) => carrier.freqMhz);
  const { channels } = matchChannels(freqMhz, plan);
  const drift = bandDrift(findings, freqMhz[0] ?? 0, freqMhz.at(-1) ?? 0);

  return carriers.flatMap((carrier, i): NamedChannel[] => {
    const planned = channels[i];
    if (planned == null) return [];
    const thenDbmv = baseline?.levels.get(Math.round(carrier.freqMhz * 1e6)) ?? null;
    return [
      {
        channel: planned.channel,
        lost: isLost(carrier, thenDbmv),
        margins: [
          ...levelMargins(point.limitSet, planned, carrier, drift.levelAt(carrier.freqMhz)),
          ...(outlets > 0
            ? assumedMargin(point.limitSet, planned, carrier, thenDbmv, drift.levelAt(carrier.freqMhz))
            : []),
          ...qualityMargin(point.limitSet, planned, carrier, drift.mer),
        ],
      },
    ];
  });
}

function isLost(carrier: CarrierMedians, thenDbmv: number | null): boolean {
  if (carrier.levelDbmv === null) return carrier.lost > 0;
  return thenDbmv !== null && carrier.levelDbmv - thenDbmv <= -LOST_BELOW_DB;
}

function levelMargins(
  limitSet: LimitSet,
  planned: PlannedChannel,
  carrier: CarrierMedians,
  rate: Rate,
): NamedMargin[] {
  const limit = limitFor(limitSet, 'level', planned.modulation);
  const level = carrier.levelDbmv;
  if (limit?.effect !== 'service' || level === null) return [];
  const common = { quantity: 'level', unit: 'dBmV', worseningSdDbPerDay: rate.sdDbPerDay } as const;
  return [
    ...(limit.min === undefined
      ? []
      : [
          {
            ...common,
            bound: 'min' as const,
            limit: limit.min,
            marginDb: level - limit.min,
            worseningDbPerDay: -rate.dbPerDay,
          },
        ]),
    ...(limit.max === undefined
      ? []
      : [
          {
            ...common,
            bound: 'max' as const,
            limit: limit.max,
            marginDb: limit.max - level,
            worseningDbPerDay: rate.dbPerDay,
          },
        ]),
  ];
}

/** Outlets that hang here unmeasured see what this point sees: a fall from baseline eats what they had to spare. */
function assumedMargin(
  limitSet: LimitSet,
  planned: PlannedChannel,
  carrier: CarrierMedians,
  thenDbmv: number | null,
  rate: Rate,
): NamedMargin[] {
  const level = carrier.levelDbmv;
  const isLimited = limitFor(limitSet, 'level', planned.modulation)?.effect === 'service';
  if (isLimited || level === null || thenDbmv === null) return [];
  const limit = thenDbmv - ASSUMPTIONS.outletSpareDb;
  return [
    {
      quantity: 'level',
      bound: 'min',
      limit,
      unit: 'dBmV',
      assumed: true,
      marginDb: level - limit,
      worseningDbPerDay: -rate.dbPerDay,
      worseningSdDbPerDay: rate.sdDbPerDay,
    },
  ];
}

function qualityMargin(
  limitSet: LimitSet,
  planned: PlannedChannel,
  carrier: CarrierMedians,
  rate: Rate,
): NamedMargin[] {
  const own = qualityFloor(limitSet, planned.modulation);
  const floor = own?.effect === 'service' ? own : qualityFloor(RECEIVERS, planned.modulation);
  if (floor === null) return [];
  const value = floor.quantity === 'cnr' ? carrier.cnrDb : carrier.merDb;
  if (value === null) return [];
  return [
    {
      quantity: floor.quantity,
      bound: 'min',
      limit: floor.min,
      unit: 'dB',
      marginDb: value - floor.min,
      worseningDbPerDay: -rate.dbPerDay,
      worseningSdDbPerDay: rate.sdDbPerDay,
    },
  ];
}
