import { readArrays } from './checkArrays.ts';
import type { CheckedSweep, Rejection } from './checkedSweep.ts';
import { Fault } from './fault.ts';
import { instantMs } from './instant.ts';
import { AMBIENT_C, type IngestLimits, type Range } from './limits.ts';

const FIELDS = new Set([
  'point',
  'at',
  'instrument',
  'ambient_c',
  'freq_mhz',
  'level_dbmv',
  'mer_db',
  'cnr_db',
  'ber_pre',
  'ber_post',
  'lost',
]);
const DAY_MS = 86_400_000;
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const CONTROL = /[\u0000-\u001f\u007f]/;

/**
 * Holds one element of a request's `sweeps` against the contract. Answers the sweep in its stored form, or the first
 * thing that is wrong with it: where, what, and what would be right.
 */
export function checkSweep(
  value: unknown,
  index: number,
  nowMs: number,
  limits: IngestLimits,
): CheckedSweep | Rejection {
  try {
    return readSweep(value, index, nowMs, limits);
  } catch (error) {
    if (!(error instanceof Fault)) throw error;
    const field = error.field === '' ? '' : `.${error.field}`;
    return { index, path: `sweeps[${index}]${field}`, reason: error.message };
  }
}

function readSweep(value: unknown, index: number, nowMs: number, limits: IngestLimits): CheckedSweep {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) {
    throw new Fault(
      '',
      'is not an object: a sweep is {"point", "at", "instrument", "freq_mhz", "level_dbmv", …}',
    );
  }
  const sweep = value as Record<string, unknown>;
  for (const name of Object.keys(sweep)) {
    if (!FIELDS.has(name)) {
      throw new Fault(shown(name), `is no field of a sweep; the fields are ${[...FIELDS].join(', ')}`);
    }
  }

  const point = readName(sweep['point'], 'point', limits);
  const atMs = readTime(sweep['at'], nowMs, limits);
  const instrument = readName(sweep['instrument'], 'instrument', limits);
  const ambientC = sweep['ambient_c'] ?? null;
  const ambientCc = ambientC === null ? null : Math.round(readNumber(ambientC, 'ambient_c', AMBIENT_C) * 100);
  return { index, point, atMs, instrument, ambientCc, ...readArrays(sweep, limits) };
}

function readName(value: unknown, field: string, limits: IngestLimits): string {
  if (typeof value !== 'string') throw new Fault(field, 'is missing or no text: give its name');
  if (value.trim() === '' || value.length > limits.maxNameLength) {
    throw new Fault(field, `has ${value.length} characters: give 1 to ${limits.maxNameLength}`);
  }
  if (CONTROL.test(value) || !value.isWellFormed()) {
    throw new Fault(field, 'holds a control character or half a character: send plain text');
  }
  return value;
}

function readTime(value: unknown, nowMs: number, limits: IngestLimits): number {
  const atMs = typeof value === 'string' ? instantMs(value) : null;
  if (atMs === null) {
    throw new Fault('at', 'is no date and time with a zone: write it like 2026-03-01T12:00:00Z');
  }
  if (atMs > nowMs + limits.maxFutureMs) {
    throw new Fault('at', `lies ${duration(atMs - nowMs)} in the future: set the clock of the sender`);
  }
  if (atMs < nowMs - limits.maxAgeDays * DAY_MS) {
    throw new Fault(
      'at',
      `lies ${duration(nowMs - atMs)} back, more than the ${limits.maxAgeDays} days that are taken`,
    );
  }
  return atMs;
}

function readNumber(value: unknown, field: string, range: Range): number {
  if (typeof value !== 'number' || !Number.isFinite(value)) {
    throw new Fault(field, `is no number: ${range.advice}, or leave it out`);
  }
  if (value < range.min || value > range.max) throw Fault.outside(field, value, range);
  return value;
}

function duration(ms: number): string {
  const minutes = Math.round(ms / 60_000);
  return minutes < 180
    ? `${minutes} minutes`
    : minutes < 4320
      ? `${Math.round(minutes / 60)} hours`
      : `${Math.round(minutes / 1440)} days`;
}

function shown(name: string): string {
  return name.slice(0, 40).replace(/[^\w.-]/g, '?');
}
