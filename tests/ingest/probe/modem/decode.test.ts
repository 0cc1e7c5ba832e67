import snmp from 'net-snmp';
import { expect, test } from 'vitest';
import {
  hzToMhz,
  integerOf,
  modulationName,
  tenthsToDb,
  textOf,
} from '../../../../ingest/probe/modem/decode.ts';
import {
  CODEWORD_COLUMNS,
  COLUMNS,
  SERIAL_NUMBER,
  SPECTRUM_ENABLED,
  SPECTRUM_SEGMENTS,
  SYSTEM_NAME,
} from '../../../../ingest/probe/modem/objects.ts';
import { MODEM_REFERENCE } from '../../../support/modemObjects.ts';

const { ObjectType } = snmp;
const varbind = (type: number, value: unknown) => ({ oid: '1.3.6', type, value });

test('the columns asked for are those of the published MIB modules', () => {
  const { objects } = MODEM_REFERENCE;
  expect(COLUMNS).toEqual({
    operStatus: objects['ifOperStatus']?.oid,
    frequencyHz: objects['docsIfDownChannelFrequency']?.oid,
    widthHz: objects['docsIfDownChannelWidth']?.oid,
    modulation: objects['docsIfDownChannelModulation']?.oid,
    powerTenths: objects['docsIfDownChannelPower']?.oid,
    signalNoiseTenths: objects['docsIfSigQSignalNoise']?.oid,
    microreflections: objects['docsIfSigQMicroreflections']?.oid,
    rxMerTenths: objects['docsIf3SignalQualityExtRxMER']?.oid,
  });
  expect(CODEWORD_COLUMNS).toEqual({
    wide: {
      unerrored: objects['docsIfSigQExtUnerroreds']?.oid,
      corrected: objects['docsIfSigQExtCorrecteds']?.oid,
      uncorrectable: objects['docsIfSigQExtUncorrectables']?.oid,
    },
    narrow: {
      unerrored: objects['docsIfSigQUnerroreds']?.oid,
      corrected: objects['docsIfSigQCorrecteds']?.oid,
      uncorrectable: objects['docsIfSigQUncorrectables']?.oid,
    },
  });
  expect(SPECTRUM_SEGMENTS).toBe(objects['docsIf3CmSpectrumAnalysisMeasAmplitudeData']?.oid);
  expect(SPECTRUM_ENABLED).toBe(`${objects['docsIf3CmSpectrumAnalysisCtrlCmdEnable']?.oid}.0`);
  expect(SERIAL_NUMBER).toBe(`${objects['docsDevSerialNumber']?.oid}.0`);
  expect(SYSTEM_NAME).toBe(`${objects['sysName']?.oid}.0`);
});

test.each(MODEM_REFERENCE.convert)('a raw $raw reads as the published figure', ({ raw, dBmV, dB }) => {
  expect(tenthsToDb(raw)).toBe(dBmV ?? dB);
});

test('603000000 Hz is 603 MHz and fractions stay', () => {
  expect(hzToMhz(603_000_000)).toBe(603);
  expect(hzToMhz(115_012_500)).toBe(115.0125);
});

test('modulations are named as the published enumeration numbers them', () => {
  const { modulation } = MODEM_REFERENCE;
  expect(modulationName(modulation['qam64']!)).toBe('64-QAM');
  expect(modulationName(modulation['qam256']!)).toBe('256-QAM');
  expect(modulationName(modulation['other']!)).toBe('another modulation');
  expect(modulationName(modulation['unknown']!)).toBeNull();
});

test('integers of every SNMP type are read', () => {
  expect(integerOf(varbind(ObjectType.Integer, -73))).toBe(-73);
  expect(integerOf(varbind(ObjectType.Gauge, 603_000_000))).toBe(603_000_000);
  expect(integerOf(varbind(ObjectType.Counter, 4_294_967_295))).toBe(4_294_967_295);
  expect(integerOf(varbind(ObjectType.Counter64, Buffer.from('0100000000', 'hex')))).toBe(4_294_967_296);
});

test('a 64-bit counter that a number cannot hold is no number', () => {
  expect(integerOf(varbind(ObjectType.Counter64, Buffer.from('7fffffffffffffff', 'hex')))).toBeNull();
});

test('what the agent does not have is no number and no text', () => {
  for (const type of [ObjectType.NoSuchObject, ObjectType.NoSuchInstance, ObjectType.EndOfMibView]) {
    expect(integerOf(varbind(type, null))).toBeNull();
    expect(textOf(varbind(type, null))).toBeNull();
  }
  expect(integerOf(varbind(ObjectType.OctetString, Buffer.from('42')))).toBeNull();
});

test('texts lose control characters and outer blanks', () => {
  expect(textOf(varbind(ObjectType.OctetString, Buffer.from(' SN-0042\0\r\n')))).toBe('SN-0042');
  expect(textOf(varbind(ObjectType.OctetString, Buffer.from('\0\0')))).toBeNull();
});
