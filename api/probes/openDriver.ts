import type { Driver } from '../../ingest/probe/driver.ts';
import { ProbeError } from '../../ingest/probe/probeError.ts';
import type { ClaimedProbe } from './claimDue.ts';
import { keptAway } from './keptAway.ts';
import { probeKind } from './probeKinds.ts';
import { openProbeSecrets } from './probeSecrets.ts';

export interface DriverDeps {
  /** The server's own secret. */
  readonly secret: string;
  /** Instruments on this very machine may be read. */
  readonly allowLoopback: boolean;
  readonly now: () => number;
}

/** The driver of a probe, its secrets opened. Throws a ProbeError when they can't be, or its address is none for instruments. */
export async function openDriver(
  { secret, allowLoopback, now }: DriverDeps,
  claimed: ClaimedProbe,
  note: (line: string) => void,
): Promise<Driver> {
  const kind = probeKind(claimed.kind);
  const { settings, point, timeZone } = claimed;
  const requireAllowed = async (host: string) => {
    const address = await keptAway(host, allowLoopback);
    if (address !== null) throw noInstrumentsAt(host, address);
  };
  await requireAllowed(kind.host(settings));
  const secrets = openProbeSecrets(secret, claimed.instrumentKey, claimed.sealed);
  return kind.createDriver({ settings, secrets, point, timeZone, requireAllowed, now, note });
}

function noInstrumentsAt(host: string, address: string): ProbeError {
  const where = host === address ? address : `${host} is ${address}, which`;
  return new ProbeError(
    'refused',
    `${where} is this server itself or a link-local address, where no instrument is read`,
    'give the instrument’s own address; who runs the server can allow its own by LEVELKEEP_PROBE_LOOPBACK=1',
  );
}
