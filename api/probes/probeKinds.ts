import type { ProbeKindName } from '../../ingest/store/schema.ts';
import { httpKind } from './kinds/http.ts';
import { modemKind } from './kinds/modem.ts';
import type { ProbeKind } from './probeKind.ts';

/** Every kind that the server reads, by name. A row's settings were held against its kind's schema when they were stored. */
const KINDS: Readonly<Record<ProbeKindName, ProbeKind<never>>> = { modem: modemKind, http: httpKind };

export function probeKind(name: ProbeKindName): ProbeKind<unknown> {
  return KINDS[name] as ProbeKind<unknown>;
}
