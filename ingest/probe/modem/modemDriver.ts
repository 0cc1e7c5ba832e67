import type { Sweep } from '../../sweep.ts';
import type { Driver } from '../driver.ts';
import { ProbeError } from '../probeError.ts';
import type { ChannelPlace } from './channelPowers.ts';
import { codewordNotes } from './codewordNotes.ts';
import { type CodewordReading, codewordRatios } from './codewords.ts';
import { type ModemRow, modemNotes, modemSweep } from './modemSweep.ts';
import { COLUMNS, SERIAL_NUMBER, SYSTEM_NAME, TABLES } from './objects.ts';
import { readCodewords } from './readCodewords.ts';
import { readSpectrum, whyNoSpectrum } from './readSpectrum.ts';
import { type SnmpReader, withSnmpReader } from './snmpReader.ts';
import type { SnmpTarget } from './snmpTarget.ts';
import { spectrumNotes, spectrumSweep } from './spectrumSweep.ts';

export interface ModemDriverOptions {
  readonly target: SnmpTarget;
  /** What the sweep calls this instrument; null asks the modem who it is. */
  readonly instrument: string | null;
  /** Channels whose levels are taken from the modem's spectrum table; null takes those of its tuners. */
  readonly spectrum?: readonly ChannelPlace[] | null;
  /** Wall clock, milliseconds since 1970-01-01 UTC. */
  readonly now: () => number;
  /** Told, line by line, what a person should know about each reading. */
  readonly note: (line: string) => void;
}

/**
 * A standard cable modem read by SNMP v2c or v3. A sweep's time is when its first table was asked for. From the second
 * reading on, codewords that were lost since the one before are told in a note.
 */
export function createModemDriver(options: ModemDriverOptions): Driver {
  const { target, instrument, spectrum = null, now, note } = options;
  let before: CodewordReading | null = null;
  return {
    read: (signal) =>
      withSnmpReader(target, signal, async (reader) => {
        const name = instrument ?? (await identify(reader, target.host));
        const atMs = now();
        const frequencyHz = await readFrequencies(reader);
        const rows = await readRows(reader, frequencyHz);
        requireFrequency(rows);
        const sweep = modemSweep(rows, name, atMs);
        for (const line of modemNotes(rows)) note(line);
        if (sweep.merDb === null) {
          note(`no MER: ${TABLES.rxMer} and ${TABLES.signalQuality} gave nothing for a locked channel`);
        }
        const codewords = await readCodewords(reader, frequencyHz, now);
        if (before !== null)
          for (const line of codewordNotes(codewordRatios(before, codewords).values())) note(line);
        before = codewords;
        return spectrum === null ? sweep : withSpectrum(reader, sweep, spectrum, note);
      }),
  };
}

/** The sweep with the levels of the spectrum; as it is, with the reason in a note, when there is none. */
async function withSpectrum(
  reader: SnmpReader,
  tuned: Sweep,
  channels: readonly ChannelPlace[],
  note: (line: string) => void,
): Promise<Sweep> {
  const segments = await readSpectrum(reader);
  const sweep = spectrumSweep(tuned, segments, channels);
  if (sweep !== null) {
    for (const line of spectrumNotes(tuned, sweep, channels.length)) note(line);
    return sweep;
  }
  const why =
    segments.length > 0
      ? 'the spectrum reaches over none of the channels asked for'
      : await whyNoSpectrum(reader);
  note(`levels from the tuners alone: ${why}`);
  return tuned;
}

/** The serial number, else the system name, else the address: what outlives a restart comes first. */
async function identify(reader: SnmpReader, host: string): Promise<string> {
  const name = (await reader.text(SERIAL_NUMBER)) ?? (await reader.text(SYSTEM_NAME)) ?? host;
  return `modem-${name}`;
}

async function readFrequencies(reader: SnmpReader): Promise<ReadonlyMap<string, number>> {
  const frequencyHz = await reader.column(COLUMNS.frequencyHz);
  if (frequencyHz.size === 0) {
    throw new ProbeError(
      'instrument',
      `the device answers, but its downstream channel table (${TABLES.channels}, RFC 4546) is empty or hidden`,
      'check that this is a cable modem, and that the community or user may read 1.3.6.1.2.1.10.127',
    );
  }
  return frequencyHz;
}

async function readRows(reader: SnmpReader, frequencyHz: ReadonlyMap<string, number>): Promise<ModemRow[]> {
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
