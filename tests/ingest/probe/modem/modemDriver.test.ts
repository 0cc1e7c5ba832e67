import { createSocket } from 'node:dgram';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createModemDriver, type ModemDriverOptions } from '../../../../ingest/probe/modem/modemDriver.ts';
import { withSnmpReader } from '../../../../ingest/probe/modem/snmpReader.ts';
import type { SnmpAccess } from '../../../../ingest/probe/modem/snmpTarget.ts';
import { lockedTuner, MODEM_REFERENCE, modemObjects } from '../../../support/modemObjects.ts';
import {
  COMMUNITY,
  type ServedObject,
  SNMPD_MISSING,
  startSnmpd,
  type TestAgent,
  V3_USER,
} from '../../../support/snmpd.ts';
import { segmentsFor } from '../../../support/spectrumSegments.ts';

const AT_MS = Date.UTC(2026, 2, 1, 12);
/** snmpd starts a program for each table that it serves, which takes its time on a busy machine. */
const SLOW = { timeout: 30_000 };
const never = new AbortController().signal;
const v2c: SnmpAccess = { version: '2c', community: COMMUNITY };
const v3: SnmpAccess = {
  version: '3',
  user: V3_USER.name,
  auth: { protocol: 'sha256', password: V3_USER.authPassword },
  priv: { protocol: 'aes', password: V3_USER.privPassword },
};

/** Thirty tuners need more than one answer of sixteen rows; the last two are not locked. */
const tuners = [
  ...Array.from({ length: 28 }, (_, i) => lockedTuner(48 + i, 507 + 6 * i, 51 - i, 384 + i)),
  { ...lockedTuner(76, 675, 0, 0), ifOperStatus: 2 },
  { ...lockedTuner(77, 681, -73, 391), ifOperStatus: 2 },
];
const oidOf = (name: string) => MODEM_REFERENCE.objects[name]?.oid ?? '';
const codewords = oidOf('docsIfSigQExtUnerroreds');

/** Ten channels as a spectrum table shows them, the first five also received by tuners. */
const spectrumPlaces = Array.from({ length: 10 }, (_, i) => ({ centreMhz: 507 + 6 * i, widthMhz: 6 }));
const spectrumRows = segmentsFor(
  spectrumPlaces.map((place, i) => ({ ...place, levelDbmv: (51 - i) / 10 })),
  501,
  566,
  { spanMhz: 7.5, bins: 256, noiseBins: 1.5, spacing: 'by gaps' },
).map(
  ({ centreHz, bytes }): ServedObject => [
    `${oidOf('docsIf3CmSpectrumAnalysisMeasAmplitudeData')}.${centreHz}`,
    'octet',
    bytes.toString('hex').replaceAll(/(..)/g, '$1 ').trim(),
  ],
);

function setUp(
  port: number,
  access: SnmpAccess,
  instrument: string | null = 'probe-7',
  changes: Partial<ModemDriverOptions> = {},
) {
  const notes: string[] = [];
  const driver = createModemDriver({
    target: { host: '127.0.0.1', port, access },
    instrument,
    now: () => AT_MS,
    note: (line) => notes.push(line),
    ...changes,
  });
  return { notes, read: (signal = never) => driver.read(signal) };
}

test('a host that nobody knows is named', async () => {
  const driver = createModemDriver({
    target: { host: 'modem.invalid', port: 161, access: v2c },
    instrument: null,
    now: Date.now,
    note: () => {},
  });
  await expect(driver.read(never)).rejects.toMatchObject({
    kind: 'instrument',
    message: 'no machine called modem.invalid is known here',
  });
});

test.concurrent('a modem that is silent is given up after six seconds', { timeout: 15_000 }, async ({
  expect,
}) => {
  await expect(setUp(9, v2c).read()).rejects.toMatchObject({
    kind: 'instrument',
    message: '127.0.0.1 (UDP port 9) did not answer within 6 s, 3 tries',
    action: expect.stringContaining('SNMP is enabled'),
  });
});

test.concurrent('a port that answers with something else is told from silence', {
  timeout: 15_000,
}, async ({ expect }) => {
  const other = createSocket('udp4', (_, from) => other.send('pong', from.port, from.address));
  await new Promise<void>((resolve) => other.bind(0, '127.0.0.1', resolve));
  await expect(setUp(other.address().port, v2c).read()).rejects.toMatchObject({
    kind: 'instrument',
    message: expect.stringContaining('answered with something that is no readable SNMP'),
  });
  other.close();
});

test.concurrent('an aborted reading ends at once', async ({ expect }) => {
  const started = performance.now();
  await expect(setUp(9, v2c).read(AbortSignal.timeout(50))).rejects.toMatchObject({ name: 'TimeoutError' });
  expect(performance.now() - started).toBeLessThan(1_500);
});

describe.skipIf(SNMPD_MISSING)(
  `a modem's tables served by snmpd${SNMPD_MISSING ? ` (${SNMPD_MISSING})` : ''}`,
  SLOW,
  () => {
    let agent: TestAgent;
    beforeAll(async () => {
      agent = await startSnmpd([
        ...modemObjects(tuners, 'SN-0042'),
        [`${codewords}.48`, 'counter64', '1099511627776'],
      ]);
    }, SLOW.timeout);
    afterAll(() => agent.stop());

    test.each([
      ['v2c', v2c],
      ['v3 with SHA-256 and AES', v3],
    ])('become a sweep over %s', async (_, access) => {
      const sweep = await setUp(agent.port, access).read();
      expect(sweep).toEqual({
        atMs: AT_MS,
        instrument: 'probe-7',
        ambientC: null,
        freqMhz: tuners.map((_, i) => 507 + 6 * i),
        levelDbmv: [...Array.from({ length: 28 }, (_, i) => (51 - i) / 10), null, null],
        merDb: [...Array.from({ length: 28 }, (_, i) => (384 + i) / 10), null, null],
        cnrDb: null,
        berPre: null,
        berPost: null,
        lostMhz: [],
      });
    });

    test('are read and never written, though the community could', async () => {
      await setUp(agent.port, v2c, null).read();
      const requests = await agent.requests();
      const commands = new Set(requests.map((request) => request.split(' ')[0]));
      expect(commands).toEqual(new Set(['get', 'getnext']));
    });

    test('name the instrument by serial number', async () => {
      expect((await setUp(agent.port, v2c, null).read()).instrument).toBe('modem-SN-0042');
    });

    test('give 64-bit counters as numbers and an absent column as empty', async () => {
      const target = { host: '127.0.0.1', port: agent.port, access: v2c };
      const columns = await withSnmpReader(target, never, async (reader) => [
        await reader.column(codewords),
        await reader.column('1.3.6.1.4.1.4491.99'),
      ]);
      expect(columns).toEqual([new Map([['48', 1_099_511_627_776]]), new Map()]);
    });

    test('are silent to a wrong community', async () => {
      const reading = setUp(agent.port, { version: '2c', community: 'wrong' }).read();
      await expect(reading).rejects.toMatchObject({
        kind: 'instrument',
        message: expect.stringContaining('did not answer within 6 s'),
        action: expect.stringContaining('community is right'),
      });
    });

    test('are closed to a wrong v3 password', async () => {
      const wrong: SnmpAccess = { ...v3, auth: { protocol: 'sha256', password: 'not the password' } };
      await expect(setUp(agent.port, wrong).read()).rejects.toMatchObject({
        kind: 'instrument',
        message: expect.stringContaining('did not accept the passwords of user probe'),
      });
    });

    test('are closed to a v3 user that the modem does not know', async () => {
      await expect(setUp(agent.port, { ...v3, user: 'nobody' }).read()).rejects.toMatchObject({
        kind: 'instrument',
        message: expect.stringContaining('knows no SNMP user called nobody'),
      });
    });

    test('are closed to a v3 user without the privacy it needs', async () => {
      await expect(setUp(agent.port, { ...v3, priv: null }).read()).rejects.toMatchObject({
        kind: 'instrument',
        action: expect.stringContaining('privacy'),
      });
    });
  },
);

describe.skipIf(SNMPD_MISSING)(
  `other devices served by snmpd${SNMPD_MISSING ? ` (${SNMPD_MISSING})` : ''}`,
  SLOW,
  () => {
    async function withAgent(
      objects: Parameters<typeof startSnmpd>[0],
      use: (port: number) => Promise<void>,
    ) {
      const agent = await startSnmpd(objects, 'desk-modem');
      try {
        await use(agent.port);
      } finally {
        await agent.stop();
      }
    }

    test('without a downstream channel table, the table is named', async () => {
      await withAgent([], async (port) => {
        await expect(setUp(port, v2c).read()).rejects.toMatchObject({
          kind: 'instrument',
          message: expect.stringContaining('docsIfDownstreamChannelTable'),
        });
      });
    });

    test('without a serial number, the system name stands for it', async () => {
      await withAgent(modemObjects([lockedTuner(3, 603, 51, 384)]), async (port) => {
        expect((await setUp(port, v2c, null).read()).instrument).toBe('modem-desk-modem');
      });
    });

    test('without any quality table, levels are read and the empty tables named', async () => {
      const tuner = { index: 3, docsIfDownChannelFrequency: 603_000_000, docsIfDownChannelPower: 51 };
      await withAgent(modemObjects([tuner]), async (port) => {
        const { notes, read } = setUp(port, v2c);
        expect(await read()).toMatchObject({ levelDbmv: [5.1], merDb: null });
        expect(notes).toContain(
          'no MER: docsIf3SignalQualityExtTable and docsIfSignalQualityTable gave nothing for a locked channel',
        );
      });
    });

    test('with a spectrum table, its channels get their power from it and the tuners give the MER', async () => {
      const some = tuners.slice(0, 5);
      await withAgent([...modemObjects(some), ...spectrumRows], async (port) => {
        const { notes, read } = setUp(port, v2c, 'probe-7', { spectrum: spectrumPlaces });
        const sweep = await read();
        expect(sweep).toMatchObject({
          instrument: 'probe-7 spectrum',
          freqMhz: spectrumPlaces.map(({ centreMhz }) => centreMhz),
          merDb: [38.4, 38.5, 38.6, 38.7, 38.8, null, null, null, null, null],
        });
        for (const [i, level] of sweep.levelDbmv.entries()) {
          expect(Math.abs(level! - (51 - i) / 10)).toBeLessThan(0.15);
        }
        expect(notes.filter((line) => line.includes('spectrum'))).toEqual([
          'levels from the spectrum table: 10 of 10 channels reached',
        ]);
      });
    });

    test('with spectrum analysis switched off, the tuners are read and the reason told', async () => {
      const off: ServedObject = [`${oidOf('docsIf3CmSpectrumAnalysisCtrlCmdEnable')}.0`, 'integer', 2];
      await withAgent([...modemObjects(tuners.slice(0, 2)), off], async (port) => {
        const { notes, read } = setUp(port, v2c, 'probe-7', { spectrum: spectrumPlaces });
        expect(await read()).toMatchObject({ instrument: 'probe-7', levelDbmv: [5.1, 5] });
        expect(notes.at(-1)).toContain(
          'levels from the tuners alone: spectrum analysis is off on this modem',
        );
      });
    });

    test('with a spectrum row that is cut off, the row is named', async () => {
      const [oid, type, value] = spectrumRows[0]!;
      const cut: ServedObject = [oid, type, String(value).slice(0, 89)];
      await withAgent([...modemObjects(tuners.slice(0, 2)), cut], async (port) => {
        await expect(setUp(port, v2c, 'probe-7', { spectrum: spectrumPlaces }).read()).rejects.toMatchObject({
          kind: 'instrument',
          message: expect.stringContaining(
            'docsIf3CmSpectrumAnalysisMeasTable can’t be read: tells of 256 bins',
          ),
        });
      });
    });

    test.each([
      ['counter64', 'Ext'],
      ['counter', ''],
    ] as const)('codewords lost between two readings are told, counted by %s', async (type, ext) => {
      const counters = (unerrored: number, uncorrectable: number): ServedObject[] => [
        [`${oidOf(`docsIfSigQ${ext}Unerroreds`)}.3`, type, String(unerrored)],
        [`${oidOf(`docsIfSigQ${ext}Correcteds`)}.3`, type, '40'],
        [`${oidOf(`docsIfSigQ${ext}Uncorrectables`)}.3`, type, String(uncorrectable)],
      ];
      const modem = modemObjects([lockedTuner(3, 603, 51, 384)]);
      const agent = await startSnmpd([...modem, ...counters(4_000_000_000, 10)]);
      try {
        const { notes, read } = setUp(agent.port, v2c, 'probe-7', { now: Date.now });
        const first = await read();
        expect(first).toMatchObject({ berPre: null, berPost: null });
        expect(notes.join()).not.toContain('codewords');
        await agent.serve([...modem, ...counters(4_000_009_900, 110)]);
        const second = await read();
        expect(second).toMatchObject({ berPre: null, berPost: null });
        expect(notes.at(-1)).toContain('about 1 in 100 on 603 MHz');
      } finally {
        await agent.stop();
      }
    });

    test('with tuners on no channel, the reading is refused in words', async () => {
      await withAgent(
        modemObjects([{ index: 3, ifOperStatus: 2, docsIfDownChannelFrequency: 0 }]),
        async (port) => {
          await expect(setUp(port, v2c).read()).rejects.toMatchObject({
            message: 'none of the modem’s 1 downstream tuner(s) is on a channel',
          });
        },
      );
    });
  },
);
