import { sql } from 'kysely';
import { dbmvToDbm75 } from '../../ingest/signal/dbmvToDbm75.ts';
import { dbmvToDbuv } from '../../ingest/signal/dbmvToDbuv.ts';
import type { Db } from '../../ingest/store/database.ts';
import { isTyped, typedInstrument } from '../../ingest/typedInstrument.ts';
import type { ChannelOffer, TypedForm } from '../schemas/typedReadings.ts';
import { type TypedContext, typedContext } from './typedContext.ts';

/** Places in the list of channels, as shares: two at the bottom, in the middle and at the top; evenly spread in a short list. */
const PAIRS = [0, 0.04, 0.48, 0.52, 0.96, 1];
const EVENLY = [0, 0.2, 0.4, 0.6, 0.8, 1];
const SHORT_LIST = 25;
const LOOKED_BACK_DAYS = 400;
const MOST_INSTRUMENTS = 6;

/** What the form for typed readings needs at one point. Throws NotFound when there is no such point. */
export async function typedForm(db: Db, siteId: number, pointId: number, nowMs: number): Promise<TypedForm> {
  const context = await typedContext(db, siteId, pointId, nowMs);
  const { site, point, limitSet } = context;
  const channels = offers(context);
  return {
    site: { siteId, name: site.name, timeZone: site.time_zone },
    point: { pointId, name: point.name, label: point.label, kind: point.kind },
    channels,
    proposedMhz: proposed(channels),
    hasBaseline: context.baseline !== null,
    limitSet: { name: limitSet.name, source: limitSet.source },
    zeroDbmvIn: { dBmV: 0, dBuV: dbmvToDbuv(0), dBm: dbmvToDbm75(0) },
    instruments: await typedBefore(db, siteId, nowMs),
  };
}

/** Planned channels at the frequency that the baseline has them at, since meters report one of two for analogue ones. */
function offers({ plan, thenCarriers }: TypedContext): ChannelOffer[] {
  if (plan === null) {
    return thenCarriers.map(({ freqMhz, levelDbmv, merDb }) => ({
      channel: '',
      freqMhz,
      modulation: 'qam256',
      thenLevelDbmv: levelDbmv,
      thenMerDb: merDb,
    }));
  }
  const then = new Map(thenCarriers.flatMap((one) => (one.planned ? [[one.planned.channel, one]] : [])));
  return plan.channels
    .filter(({ modulation }) => modulation !== 'ofdm')
    .map(({ channel, centreMhz, modulation }) => {
      const was = then.get(channel);
      return {
        channel,
        freqMhz: was?.freqMhz ?? centreMhz,
        modulation,
        thenLevelDbmv: was?.levelDbmv ?? null,
        thenMerDb: was?.merDb ?? null,
      };
    });
}

/** Channels with a "then" and an MER say most; where there are too few, any. */
function proposed(channels: readonly ChannelOffer[]): number[] {
  const held = channels.filter(
    ({ modulation, thenLevelDbmv }) => modulation !== 'analogue' && thenLevelDbmv !== null,
  );
  const digital = channels.filter(({ modulation }) => modulation !== 'analogue');
  const from = [held, digital, channels].find((list) => list.length >= PAIRS.length) ?? channels;
  const shares = from.length < SHORT_LIST ? EVENLY : PAIRS;
  const places = new Set(shares.map((share) => Math.round(share * (from.length - 1))));
  return [...places].flatMap((place) => from[place]?.freqMhz ?? []);
}

async function typedBefore(db: Db, siteId: number, nowMs: number): Promise<string[]> {
  const rows = await db
    .selectFrom('sweep')
    .select(['instrument', (select) => select.fn.max('at').as('last')])
    .where('site_id', '=', siteId)
    .where('at', '>', new Date(nowMs - LOOKED_BACK_DAYS * 86_400_000))
    .where('instrument', 'like', `${typedInstrument('')}%`)
    .groupBy('instrument')
    .orderBy(sql`last`, 'desc')
    .limit(MOST_INSTRUMENTS)
    .execute();
  return rows
    .map(({ instrument }) => instrument)
    .filter(isTyped)
    .map((name) => name.slice(typedInstrument('').length));
}
