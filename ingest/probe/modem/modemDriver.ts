import type { Driver } from '../driver.ts';
import { ProbeError } from '../probeError.ts';
import { type ModemRow, modemNotes, modemSweep } from './modemSweep.ts';
import { COLUMNS, SERIAL_NUMBER, SYSTEM_NAME, TABLES } from './objects.ts';
import { type SnmpReader, withSnmpReader } from './snmpReader.ts';
import type { SnmpTarget } from './snmpTarget.ts';

export interface ModemDriverOptions {
  readonly target: SnmpTarget;
  /** What the sweep calls this instrument; null asks the modem who it is. */
  readonly instrument: string | null;
  /** Wall clock, milliseconds since 1970-01-01 UTC. */
  readonly now: () => number;
  /** Told, line by line, what a person should know about each reading. */
  readonly note: (line: string) => void;
}

/** A standard cable modem read by SNMP v2c or v3. A sweep's time is when its first table was asked for. */
export function createModemDriver({ target, instrument, now, note }: ModemDriverOptions): Driver {
  return {
    read: (signal) =>
      withSnmpReader(target, signal, async (reader) => {
        const name = instrument ?? (await identify(reader, target.host));
        const atMs = now();
        const rows = await readRows(reader);
        requireFrequency(rows);
        const sweep = modemSweep(rows, name, atMs);
        for (const line of modemNotes(rows)) note(line);
        if (sweep.merDb === null) {
          note(`no MER: ${TABLES.rxMer} and ${TABLES.signalQuality} gave nothing for a locked channel`);
        }
        return sweep;
      }),
  };
}

/** The serial number, else the system name, else the address: what outlives a restart comes first. */
async function identify(reader: SnmpReader, host: string): Promise<string> {
  const name = (await reader.text(SERIAL_NUMBER)) ?? (await reader.text(SYSTEM_NAME)) ?? host;
  return `modem-${name}`;
}

async function readRows(reader: SnmpReader): Promise<ModemRow[]> {
  const frequencyHz = await reader.column(COLUMNS.frequencyHz);
  if (frequencyHz.size === 0) {
    throw new ProbeError(
      'instrument',
      `the device answers, but its downstream channel table (${TABLES.channels}, RFC 4546) is empty or hidden`,
      'check that this is a cable modem, and that the community or user may read 1.3.6.1.2.1.10.127',
    );
  }
  const operStatus = await reader.column(COLUMNS.operStatus);
  const powerTenths = await reader.column(COLUMNS.powerTenths);
  const widthHz = await reader.column(COLUMNS.widthHz);
  const modulation = await reader.column(COLUMNS.modulation);
  const rxMerTenths = await reader.column(COLUMNS.rxMerTenths);
  const signalNoiseTenths = await reader.column(COLUMNS.signalNoiseTenths);
  const microreflections = await reader.column(COLUMNS.microreflections);

  return [...frequencyHz].map(([index, hz]) => ({
    operStatus: operStatus.get(index) ?? null,
    frequencyHz: hz,
    widthHz: widthHz.get(index) ?? null,
    modulation: modulation.get(index) ?? null,
    powerTenths: powerTenths.get(index) ?? null,
    signalNoiseTenths: signalNoiseTenths.get(index) ?? null,
    microreflections: microreflections.get(index) ?? null,
    rxMerTenths: rxMerTenths.get(index) ?? null,
  }));
}

function requireFrequency(rows: readonly ModemRow[]): void {
  if (rows.some((row) => row.frequencyHz > 0)) return;
  throw new ProbeError(
    'instrument',
    `none of the modem’s ${rows.length} downstream tuner(s) is on a channel`,
    'wait until the modem has found its channels; if it never does, the cable may be off or the feed dead: look at the handoff',
  );
}
