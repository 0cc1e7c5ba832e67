import type { ProbeRow } from '../../ingest/store/schema.ts';
import { InvalidInput } from '../errors.ts';
import type { ProbeKind, ProbeSecrets } from './probeKind.ts';
import { probeKind } from './probeKinds.ts';
import { openProbeSecrets, sealProbeSecrets } from './probeSecrets.ts';

type Given = Readonly<Record<string, string | undefined>>;

/** The secrets of a new probe, sealed. Throws InvalidInput that names those that are missing or won't do. */
export function sealedFirst<Settings>(
  kind: ProbeKind<Settings>,
  settings: Settings,
  instrumentKey: string,
  given: Given,
  secret: string,
): Buffer {
  const secrets = withoutAbsent(given);
  refuse(kind.secretFaults(settings, secrets));
  return sealProbeSecrets(secret, instrumentKey, secrets);
}

/**
 * The sealed secrets of a probe after a change of its settings: those given, beside those kept as long as it stays at its address.
 * Throws InvalidInput as above.
 */
export function sealedAfter(
  row: ProbeRow,
  settings: unknown,
  instrumentKey: string,
  given: Given | undefined,
  secret: string,
): Buffer | null {
  const kind = probeKind(row.kind);
  const fresh = withoutAbsent(given ?? {});
  const isThere = instrumentKey === row.instrument_key;
  if (!isThere && Object.keys(fresh).length === 0) {
    const faults = Object.keys(kind.secretFaults(settings, {}));
    const again = 'give it again: what is kept is for the address that the probe had';
    refuse(Object.fromEntries(faults.map((name) => [name, again])));
  }
  if (Object.keys(fresh).length === 0 && row.settings === settings) return row.sealed;
  const kept = isThere ? keptOf(secret, row) : {};
  const secrets = { ...kept, ...fresh };
  refuse(kind.secretFaults(settings, secrets));
  return sealProbeSecrets(secret, instrumentKey, secrets);
}

/** Secrets that can no longer be opened are as good as none: they are asked for again. */
function keptOf(secret: string, row: ProbeRow): ProbeSecrets {
  try {
    return openProbeSecrets(secret, row.instrument_key, row.sealed);
  } catch {
    return {};
  }
}

function withoutAbsent(secrets: Given): ProbeSecrets {
  return Object.fromEntries(
    Object.entries(secrets).filter((entry): entry is [string, string] => Boolean(entry[1])),
  );
}

function refuse(faults: Readonly<Record<string, string>>): void {
  const named = Object.entries(faults).map(([name, reason]) => [`secrets.${name}`, reason]);
  if (named.length > 0) throw new InvalidInput(Object.fromEntries(named));
}
