import type { ClockReading } from '../../agent/clock.ts';
import type { Mapping } from '../../agent/config/mapping.ts';
import { mapTable } from '../../agent/folder/mapTable.ts';
import { jsonTable } from '../../agent/folder/table.ts';
import type { Reading } from '../../agent/source.ts';
import { contractReadings } from '../../agent/sources/contractReadings.ts';
import { ProbeError } from '../probeError.ts';
import { type Fetch, fetchText } from './fetchText.ts';
import type { HttpMapping } from './httpMapping.ts';
import { HTTP_PATIENCE, type HttpPatience, type HttpTarget } from './httpTarget.ts';

/** How the answer is to be read: the contract's sweeps, or records whose fields a mapping names. */
export type HttpFormat =
  | { readonly format: 'contract' }
  | {
      readonly format: 'records';
      /** Where in the answer the list of records stands, such as "scan.channels"; undefined: the answer is the list. */
      readonly rows: string | undefined;
      readonly mapping: HttpMapping;
    };

export interface HttpOptions {
  readonly target: HttpTarget;
  readonly format: HttpFormat;
  readonly point: string;
  /** Name for sweeps that carry none; null asks for the address instead. */
  readonly instrument: string | null;
  /** Zone of times that name none. */
  readonly zone: string;
  /** Whether errors may quote what was answered. A server that reads for many people says no. */
  readonly quotesAnswer: boolean;
  readonly patience?: HttpPatience;
  readonly fetch?: Fetch;
}

/**
 * Asks the instrument once. A sweep without a time of its own gets `startedAt`. Throws a ProbeError of kind
 * `instrument`, or the signal's reason when it is aborted.
 */
export async function httpReadings(
  options: HttpOptions,
  startedAt: ClockReading,
  signal: AbortSignal,
): Promise<Reading[]> {
  const { target, patience = HTTP_PATIENCE, fetch = globalThis.fetch } = options;
  const text = await fetchText(target, patience, fetch, signal);
  requireJson(text, target.url);
  try {
    return readAnswer(text, options, startedAt);
  } catch (cause) {
    throw unusable(options, cause);
  }
}

function readAnswer(text: string, options: HttpOptions, startedAt: ClockReading): Reading[] {
  const { format, point, zone, target } = options;
  const instrument = options.instrument ?? `http-${target.url.host}`;
  if (format.format === 'contract') return contractReadings(text, { point, instrument, startedAt });

  const isStampedHere = format.mapping.time.from === 'reading';
  const sweeps = mapTable(jsonTable(text, format.rows), asFileMapping(format.mapping), {
    name: target.url.pathname,
    modifiedMs: startedAt.wallMs,
    instrument,
    zone,
  });
  return sweeps.map((sweep) => ({ sweep, uptimeMs: isStampedHere ? startedAt.uptimeMs : null }));
}

/** To the table's reader, the moment of reading is what a file's own time is. */
function asFileMapping({ time, ...mapping }: HttpMapping): Mapping {
  return { ...mapping, time: time.from === 'reading' ? { from: 'file' } : time };
}

function requireJson(text: string, { host }: URL): void {
  try {
    JSON.parse(text);
  } catch {
    throw new ProbeError(
      'instrument',
      `${host} answers with ${text.trim() === '' ? 'nothing' : 'something that is no JSON'}`,
      'open the address in a browser on the same network: it may be a page to sign in to, or the wrong path',
    );
  }
}

function unusable({ target, quotesAnswer, format }: HttpOptions, cause: unknown): ProbeError {
  const reason = cause instanceof Error ? cause.message : String(cause);
  const wanted =
    format.format === 'contract'
      ? 'a sweep of the ingest contract, {"freq_mhz": […], "level_dbmv": […]}'
      : 'a list of records with the fields that the mapping names';
  return new ProbeError(
    'instrument',
    quotesAnswer
      ? `${target.url.host}: its answer can’t be used: ${reason}`
      : `${target.url.host}: its answer is JSON, but not ${wanted}`,
    quotesAnswer
      ? `it must be ${wanted}: mend the set-up, or what the instrument answers`
      : 'open the address in a browser on the same network, and hold the names of its fields against the set-up',
    { cause },
  );
}
