import type { ProbeKindName } from '../../ingest/store/schema.ts';
import { modemKind } from './kinds/modem.ts';
import type { ProbeKind } from './probeKind.ts';

/** Every kind that the server reads, by name. A row's settings were held against its kind's schema when they were stored. */
const KINDS: Partial<Record<ProbeKindName, ProbeKind<never>>> = { modem: modemKind as ProbeKind<never> };

/** Throws a RangeError for a kind that this server does not know. */
export function probeKind(name: ProbeKindName): ProbeKind<unknown> {
  const kind = KINDS[name];
  if (kind === undefined) throw new RangeError(`no kind of probe called ${name}`);
  return kind as ProbeKind<unknown>;
}
