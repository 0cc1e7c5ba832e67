import { ORDINARY_FEED } from '../simulator/defaults.ts';
import type { ProviderFeed } from '../simulator/plant.ts';

/** An invented provider: its feed, and whom to call. */
export interface Provider {
  readonly feed: ProviderFeed;
  readonly contact: string;
}

export const PROVIDERS = {
  brindlewick: {
    feed: { ...ORDINARY_FEED, name: 'Brindlewick Cable' },
    contact: 'Network desk, noc@brindlewick.example',
  },
  northmere: {
    feed: { ...ORDINARY_FEED, name: 'Northmere Community Vision', merDb: 46, temperatureDbPerC: -0.008 },
    contact: 'Headend duty room, duty@northmere.example',
  },
  saltfen: {
    feed: { ...ORDINARY_FEED, name: 'Saltfen Signal Cooperative', merDb: 48, channelSpreadDb: 0.3 },
    contact: 'Plant office, plant@saltfen.example',
  },
} as const satisfies Record<string, Provider>;
