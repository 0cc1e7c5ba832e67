import { readFileSync } from 'node:fs';
import path from 'node:path';
import type { ServedObject } from './snmpd.ts';

interface Reference {
  readonly objects: Readonly<Record<string, { readonly oid: string }>>;
  readonly modulation: Readonly<Record<string, number>>;
  readonly convert: readonly { readonly raw: number; readonly dBmV?: number; readonly dB?: number }[];
}

/** What the published MIB modules say; see the source inside. */
export const MODEM_REFERENCE = JSON.parse(
  readFileSync(path.join(import.meta.dirname, '../reference/cable-modem-objects.json'), 'utf8'),
) as Reference;

/** One downstream tuner in the units of its tables; what is left out is not served. */
export interface TunerValues {
  readonly index: number;
  readonly ifOperStatus?: number;
  readonly docsIfDownChannelFrequency?: number;
  readonly docsIfDownChannelWidth?: number;
  readonly docsIfDownChannelModulation?: number;
  readonly docsIfDownChannelPower?: number;
  readonly docsIfSigQSignalNoise?: number;
  readonly docsIfSigQMicroreflections?: number;
  readonly docsIf3SignalQualityExtRxMER?: number;
}

/** The tables of a modem with these tuners. */
export function modemObjects(tuners: readonly TunerValues[], serialNumber?: string): ServedObject[] {
  const rows = tuners.flatMap(({ index, ...values }) =>
    Object.entries(values).map(
      ([name, value]): ServedObject => [`${oidOf(name)}.${index}`, 'integer', value],
    ),
  );
  if (serialNumber !== undefined) rows.push([`${oidOf('docsDevSerialNumber')}.0`, 'string', serialNumber]);
  return rows;
}

/** A tuner that receives its channel. */
export function lockedTuner(
  index: number,
  freqMhz: number,
  powerTenths: number,
  rxMerTenths: number,
): TunerValues {
  return {
    index,
    ifOperStatus: 1,
    docsIfDownChannelFrequency: freqMhz * 1_000_000,
    docsIfDownChannelWidth: 6_000_000,
    docsIfDownChannelModulation: MODEM_REFERENCE.modulation['qam256']!,
    docsIfDownChannelPower: powerTenths,
    docsIfSigQSignalNoise: rxMerTenths - 10,
    docsIfSigQMicroreflections: 30,
    docsIf3SignalQualityExtRxMER: rxMerTenths,
  };
}

function oidOf(name: string): string {
  const object = MODEM_REFERENCE.objects[name];
  if (object === undefined) throw new RangeError(`no object ${name} in cable-modem-objects.json`);
  return object.oid;
}
