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

/** Codewords by tuner: 64 bits where the modem has them (DOCS-IF-MIB, RFC 4546), otherwise 32. */
export const CODEWORD_COLUMNS = {
  /** docsIfSigQExtUnerroreds, …ExtCorrecteds, …ExtUncorrectables. */
  wide: {
    unerrored: '1.3.6.1.2.1.10.127.1.1.4.1.8',
    corrected: '1.3.6.1.2.1.10.127.1.1.4.1.9',
    uncorrectable: '1.3.6.1.2.1.10.127.1.1.4.1.10',
  },
  /** docsIfSigQUnerroreds, …Correcteds, …Uncorrectables. */
  narrow: {
    unerrored: '1.3.6.1.2.1.10.127.1.1.4.1.2',
    corrected: '1.3.6.1.2.1.10.127.1.1.4.1.3',
    uncorrectable: '1.3.6.1.2.1.10.127.1.1.4.1.4',
  },
} as const;
/** ifCounterDiscontinuityTime, hundredths of a second of sysUpTime (IF-MIB, RFC 2863; from memory). */
export const DISCONTINUITY = '1.3.6.1.2.1.31.1.1.1.19';
/** sysUpTime, hundredths of a second (SNMPv2-MIB, RFC 3418; from memory). */
export const UPTIME = '1.3.6.1.2.1.1.3.0';

/** docsIf3CmSpectrumAnalysisMeasAmplitudeData; the row index is the centre of the segment, Hz. */
export const SPECTRUM_SEGMENTS = '1.3.6.1.4.1.4491.2.1.20.1.35.1.2';
/** docsIf3CmSpectrumAnalysisCtrlCmdEnable: 1 while the modem analyses the spectrum, 2 while it doesn't. */
export const SPECTRUM_ENABLED = '1.3.6.1.4.1.4491.2.1.20.1.34.1.0';

/** docsDevSerialNumber. */
export const SERIAL_NUMBER = '1.3.6.1.2.1.69.1.1.4.0';
/** sysName. */
export const SYSTEM_NAME = '1.3.6.1.2.1.1.5.0';

/** The tables as their documents call them, for messages. */
export const TABLES = {
  channels: 'docsIfDownstreamChannelTable',
  signalQuality: 'docsIfSignalQualityTable',
  rxMer: 'docsIf3SignalQualityExtTable',
  spectrum: 'docsIf3CmSpectrumAnalysisMeasTable',
} as const;
