import { expect, test } from 'vitest';
import { type ModemRow, modemNotes, modemSweep } from '../../../../ingest/probe/modem/modemSweep.ts';

const UP = 1;
const DOWN = 2;

function row(changes: Partial<ModemRow> = {}): ModemRow {
  return {
    operStatus: UP,
    frequencyHz: 603_000_000,
    widthHz: 6_000_000,
    modulation: 4,
    powerTenths: 51,
    signalNoiseTenths: 371,
    microreflections: 30,
    rxMerTenths: 384,
    ...changes,
  };
}

const sweepOf = (...rows: ModemRow[]) => modemSweep(rows, 'probe-7', 1_772_366_400_000);

test('tenths and hertz become dBmV, dB and MHz', () => {
  expect(sweepOf(row())).toMatchObject({
    atMs: 1_772_366_400_000,
    instrument: 'probe-7',
    freqMhz: [603],
    levelDbmv: [5.1],
    merDb: [38.4],
    cnrDb: null,
    lostMhz: [],
  });
});

test('frequencies rise whatever the order of the rows', () => {
  const sweep = sweepOf(row({ frequencyHz: 615_000_000, powerTenths: 3 }), row({ frequencyHz: 603_000_000 }));
  expect(sweep.freqMhz).toEqual([603, 615]);
  expect(sweep.levelDbmv).toEqual([5.1, 0.3]);
});

test('0 of a tuner that is up is a real 0 dBmV', () => {
  expect(sweepOf(row({ powerTenths: 0 })).levelDbmv).toEqual([0]);
});

test('0 of a tuner that is down is not measured', () => {
  const sweep = sweepOf(
    row(),
    row({ frequencyHz: 609_000_000, operStatus: DOWN, powerTenths: 0, rxMerTenths: 0 }),
  );
  expect(sweep.levelDbmv).toEqual([5.1, null]);
  expect(sweep.merDb).toEqual([38.4, null]);
});

test('the old value that a tuner keeps when it goes down is not measured', () => {
  const sweep = sweepOf(row({ operStatus: DOWN, powerTenths: -73 }));
  expect(sweep.levelDbmv).toEqual([null]);
  expect(sweep.merDb).toBeNull();
});

test('without ifOperStatus a tuner counts when it has a level or a quality', () => {
  const unknown = { operStatus: null };
  expect(
    sweepOf(row({ ...unknown, powerTenths: 51, rxMerTenths: null, signalNoiseTenths: null })).levelDbmv,
  ).toEqual([5.1]);
  expect(sweepOf(row({ ...unknown, powerTenths: 0 })).levelDbmv).toEqual([0]);
  expect(
    sweepOf(row({ ...unknown, powerTenths: 0, rxMerTenths: null, signalNoiseTenths: 0 })).levelDbmv,
  ).toEqual([null]);
});

test('MER falls back to signal to noise, channel by channel', () => {
  const sweep = sweepOf(row(), row({ frequencyHz: 609_000_000, rxMerTenths: null }));
  expect(sweep.merDb).toEqual([38.4, 37.1]);
});

test('a quality of 0 is not measured', () => {
  expect(sweepOf(row({ rxMerTenths: 0, signalNoiseTenths: 0 })).merDb).toBeNull();
});

test('a level that the table leaves out is not measured, its MER is kept', () => {
  const sweep = sweepOf(row({ powerTenths: null }));
  expect(sweep.levelDbmv).toEqual([null]);
  expect(sweep.merDb).toEqual([38.4]);
});

test('a tuner without frequency is told of, not sent', () => {
  const rows = [row(), row({ frequencyHz: 0 })];
  expect(modemSweep(rows, 'probe-7', 0).freqMhz).toEqual([603]);
  expect(modemNotes(rows)).toContain('1 tuner has no frequency and cannot be reported');
});

test('of two tuners on one frequency the locked one is sent and the other told of', () => {
  const rows = [row({ operStatus: DOWN, powerTenths: -200 }), row({ powerTenths: 51 })];
  expect(modemSweep(rows, 'probe-7', 0).levelDbmv).toEqual([5.1]);
  expect(modemNotes(rows)).toContain(
    '1 tuner stands on a frequency that another one reports; one of them is sent',
  );
});

test('the notes say what the reading holds', () => {
  const notes = modemNotes([
    row(),
    row({ frequencyHz: 609_000_000, rxMerTenths: null, microreflections: 24 }),
    row({ frequencyHz: 615_000_000, operStatus: DOWN }),
  ]);
  expect(notes).toEqual([
    '3 channels, 603 to 615 MHz, 2 locked (256-QAM, 6 MHz wide); MER from RxMER on 1, from signal to noise on 1',
    'not locked, so sent as not measured: 615 MHz',
    'strongest micro-reflection: -24 dBc at 609 MHz (shown here only; a sweep has no place for it)',
  ]);
});
