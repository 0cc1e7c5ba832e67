import type { Modulation, PlannedChannel } from '../../ingest/plan/channelPlan.ts';
import { cta542 } from '../../ingest/plan/cta542.ts';
import type { RasterName } from '../../ingest/store/schema.ts';
import type { LineUp } from '../simulator/plant.ts';
import { servicesAt } from './programmes.ts';

const DAY_MS = 86_400_000;
/** Plans are in force well before the first sweep. */
export const FIRST_VERSION_DAYS_AGO = 400;
export const LINE_UP_CHANGE_DAYS_AGO = 38;

/** A channel plan of the demo and what each of its versions carries. */
export interface DemoPlan {
  readonly name: string;
  readonly raster: RasterName;
  readonly versions: readonly (LineUp & { readonly note: string })[];
}

export type PlanName = 'brindlewick' | 'northmere' | 'saltfen';

/** The three plans as of `originMs`, the moment the demo's history was first made. */
export function demoPlans(originMs: number): Record<PlanName, DemoPlan> {
  const effectiveFromMs = originMs - FIRST_VERSION_DAYS_AGO * DAY_MS;
  return {
    brindlewick: {
      name: 'Brindlewick digital line-up',
      raster: 'STD',
      versions: [
        {
          effectiveFromMs,
          note: 'first version',
          channels: channels((place) => place < 40 || (place < 136 && place % 3 === 0), allDigital),
        },
      ],
    },
    northmere: {
      name: 'Northmere mixed line-up',
      raster: 'STD',
      versions: [
        { effectiveFromMs, note: 'first version', channels: northmere(() => true, 12) },
        {
          effectiveFromMs: originMs - LINE_UP_CHANGE_DAYS_AGO * DAY_MS,
          note: 'five analogue channels end; one more digital channel above the others',
          channels: northmere((place) => place >= 5, 12, 130),
        },
      ],
    },
    saltfen: {
      name: 'Saltfen digital line-up',
      raster: 'STD',
      versions: [
        {
          effectiveFromMs,
          note: 'first version',
          channels: channels((place) => place < 112 && place % 2 === 0, localBroadcasts),
        },
      ],
    },
  };
}

function allDigital(): Modulation {
  return 'qam256';
}

/** Three stations from the air are passed on as they are. */
function localBroadcasts(place: number): Modulation {
  return [6, 20, 34].includes(place) ? '8vsb' : 'qam256';
}

/** Analogue channels first, some older digital ones after them; `extra` adds one channel at the top. */
function northmere(
  isKept: (place: number) => boolean,
  analogueChannels: number,
  extra?: number,
): PlannedChannel[] {
  return channels(
    (place) => isKept(place) && (place < 50 || (place < 120 && place % 4 === 0) || place === extra),
    (place) => (place < analogueChannels ? 'analogue' : place < 30 ? 'qam64' : 'qam256'),
  );
}

/** Those channels of the standard raster, counted from 54 MHz up, that a plan carries. */
function channels(
  isCarried: (place: number) => boolean,
  modulationAt: (place: number) => Modulation,
): PlannedChannel[] {
  return cta542('STD').flatMap(({ channel, centreMhz, widthMhz }, place) => {
    if (!isCarried(place)) return [];
    const modulation = modulationAt(place);
    const services = servicesAt(place, modulation === 'analogue');
    return [{ channel, centreMhz, widthMhz, modulation, services }];
  });
}
