/**
 * What a standard cable modem is asked for. Columns of tables; the row index, an ifIndex, follows.
 * Sources: IF-MIB (RFC 2863), DOCS-IF-MIB (RFC 4546), DOCS-IF3-MIB, SNMPv2-MIB (RFC 3418),
 * DOCS-CABLE-DEVICE-MIB (RFC 4639).
 */
export const COLUMNS = {
  /** ifOperStatus: 1 is up. */
  operStatus: '1.3.6.1.2.1.2.2.1.8',
  /** docsIfDownChannelFrequency, Hz. */
  frequencyHz: '1.3.6.1.2.1.10.127.1.1.1.1.2',
  /** docsIfDownChannelWidth, Hz. */
  widthHz: '1.3.6.1.2.1.10.127.1.1.1.1.3',
  /** docsIfDownChannelModulation: 1 unknown, 2 other, 3 64-QAM, 4 256-QAM. */
  modulation: '1.3.6.1.2.1.10.127.1.1.1.1.4',
  /** docsIfDownChannelPower, tenths of a dBmV. */
  powerTenths: '1.3.6.1.2.1.10.127.1.1.1.1.6',
  /** docsIfSigQSignalNoise, tenths of a dB. */
  signalNoiseTenths: '1.3.6.1.2.1.10.127.1.1.4.1.5',
  /** docsIfSigQMicroreflections, dB below the carrier. */
  microreflections: '1.3.6.1.2.1.10.127.1.1.4.1.6',
  /** docsIf3SignalQualityExtRxMER, tenths of a dB. */
  rxMerTenths: '1.3.6.1.4.1.4491.2.1.20.1.24.1.1',
} as const;

/** docsDevSerialNumber. */
export const SERIAL_NUMBER = '1.3.6.1.2.1.69.1.1.4.0';
/** sysName. */
export const SYSTEM_NAME = '1.3.6.1.2.1.1.5.0';

/** The tables as their documents call them, for messages. */
export const TABLES = {
  channels: 'docsIfDownstreamChannelTable',
  signalQuality: 'docsIfSignalQualityTable',
  rxMer: 'docsIf3SignalQualityExtTable',
} as const;
