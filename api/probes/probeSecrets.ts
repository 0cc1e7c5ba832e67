import { ProbeError } from '../../ingest/probe/probeError.ts';
import { seal, unseal } from '../accounts/sealSecret.ts';
import type { ProbeSecrets } from './probeKind.ts';

interface Kept {
  readonly instrumentKey: string;
  readonly secrets: ProbeSecrets;
}

/**
 * Secrets sealed together with the instrument that they are for: whoever points the probe at another address cannot have them
 * sent there.
 */
export function sealProbeSecrets(serverSecret: string, instrumentKey: string, secrets: ProbeSecrets): Buffer {
  return seal(serverSecret, JSON.stringify({ instrumentKey, secrets } satisfies Kept));
}

/** The secrets for the instrument. Throws a ProbeError when they were sealed for another one, or by another server secret. */
export function openProbeSecrets(
  serverSecret: string,
  instrumentKey: string,
  sealed: Buffer | null,
): ProbeSecrets {
  if (sealed === null) return {};
  const kept = JSON.parse(unsealOrExplain(serverSecret, sealed)) as Kept;
  if (kept.instrumentKey === instrumentKey) return kept.secrets;
  throw new ProbeError(
    'usage',
    'the kept secrets are for another instrument',
    'enter them again in the site’s set-up',
  );
}

function unsealOrExplain(serverSecret: string, sealed: Buffer): string {
  try {
    return unseal(serverSecret, sealed);
  } catch (cause) {
    throw new ProbeError(
      'usage',
      'the kept secrets cannot be opened: they were sealed under another server secret',
      'give every server the same LEVELKEEP_SECRET as before, or enter the probe’s secrets again in the site’s set-up',
      { cause },
    );
  }
}
