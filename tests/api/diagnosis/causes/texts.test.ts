import { describe, expect, test } from 'vitest';
import { adviceOn } from '../../../../api/diagnosis/causes/advice.ts';
import {
  CAUSE_IDS,
  CAUTION_IDS,
  type CauseId,
  type CausePlace,
} from '../../../../api/diagnosis/causes/cause.ts';
import { causesOf } from '../../../../api/diagnosis/causes/causesOf.ts';
import { cautionsFor } from '../../../../api/diagnosis/causes/cautionsFor.ts';
import { evidenceFor } from '../../../../api/diagnosis/causes/evidenceFor.ts';
import { hopContents } from '../../../../api/diagnosis/causes/hopContents.ts';
import type { Finding } from '../../../../api/trend/types.ts';
import {
  AMPLIFIER,
  FAR_AMPLIFIER,
  GEAR,
  givenDrift,
  givenFinding,
  HANDOFF,
  OUTLET,
  ROOF_OUTLET,
} from './givenCase.ts';

const PLACES: readonly CausePlace[] = [HANDOFF, AMPLIFIER, FAR_AMPLIFIER, OUTLET, ROOF_OUTLET, GEAR];
const FINDINGS: readonly Finding[] = [
  givenFinding(),
  givenDrift(-0.05),
  givenDrift(-0.1, { metric: 'mer', shape: null }),
  givenFinding({ metric: 'flatness', shape: null }),
  ...(
    ['dips', 'notch', 'ripple', 'channel-shift', 'channel-lost', 'outage', 'instrument-change'] as const
  ).map((kind) => givenFinding({ kind, shape: null })),
  givenDrift(-0.3, { kind: 'notch', shape: null, evidence: { freqMhz: 447.2, widthMhz: 31 } }),
  givenFinding({ kind: 'ripple', evidence: { delayNs: 62, distanceM: 7.9, ambiguousDelay: true } }),
  givenFinding({ kind: 'dips', evidence: { times: 12 } }),
  givenFinding({ evidence: { features: 'none', shapeOdds: [], freqMhz: 'high', channels: 7, times: null } }),
];
const cautions = (cause: CauseId, place: CausePlace) => cautionsFor(cause, hopContents(place.hopNote), place);
const evidence = (cause: CauseId, finding: Finding, place: CausePlace) =>
  evidenceFor(cause, finding, hopContents(place.hopNote), place).join(' ');

describe('what is said of a cause', () => {
  test('no text holds a unit without its number, or a number that is none', () => {
    const texts = PLACES.flatMap((place) =>
      CAUSE_IDS.flatMap((cause) => {
        const { title, check, bring } = adviceOn(cause, place);
        const said = FINDINGS.map((finding) => evidence(cause, finding, place));
        return [title, ...check, ...bring, ...said];
      }),
    );
    for (const text of texts) {
      expect(text).not.toMatch(/(?<![\d.] )\b(dB|dBmV|MHz|ns)\b/);
      expect(text).not.toMatch(/NaN|undefined|null|Infinity/);
      expect(text).toMatch(/\S/);
    }
  });

  test('every cause has a title of its own and something to check and to bring, wherever it is', () => {
    const titles = CAUSE_IDS.map((cause) => adviceOn(cause, OUTLET).title);
    expect(new Set(titles).size).toBe(CAUSE_IDS.length);
    for (const place of PLACES) {
      for (const cause of CAUSE_IDS.filter((id) => place.isHandoff || id !== 'provider-feed')) {
        const { check, bring } = adviceOn(cause, place);
        expect(check.length).toBeGreaterThan(0);
        expect(bring.length).toBeGreaterThan(0);
      }
    }
  });

  test('at the handoff a fault is proven and reported, and the provider’s gear left alone', () => {
    for (const cause of ['provider-feed', 'modulator', 'cable-echo', 'loose-connector'] as const) {
      expect(adviceOn(cause, HANDOFF).check.join(' ')).toMatch(/report it to the provider.*leave their gear/);
    }
    expect(adviceOn('instrument', HANDOFF).check.join(' ')).not.toContain('report it');
  });

  test('the evidence names the splitter that a step matches, and the one in the hop', () => {
    expect(evidence('passive-changed', givenFinding({ sizeDb: -3.6 }), OUTLET)).toContain(
      '3.6 dB is about what a two-way splitter takes (3.3 to 4.0 dB; common practice, no source). A 4-way splitter is known in this hop.',
    );
    expect(evidence('passive-changed', givenFinding({ sizeDb: -8.8 }), AMPLIFIER)).toContain(
      '8.8 dB matches no splitter by itself',
    );
  });

  test('the evidence tells where a notch lies, how late an echo comes and from how far', () => {
    const notch = givenDrift(-0.3, { kind: 'notch', evidence: { freqMhz: 447.2, widthMhz: 31 } });
    expect(evidence('suck-out', notch, ROOF_OUTLET)).toBe(
      'A notch of 6.3 dB at 447 MHz, 31 MHz wide, growing 0.30 dB a day. The set-up says of this hop: “55 m of series 6 cable, under the roof”.',
    );
    const echo = givenFinding({ kind: 'ripple', sizeDb: 3, evidence: { delayNs: 62, distanceM: 7.9 } });
    expect(evidence('cable-echo', echo, OUTLET)).toContain(
      'The echo comes 62 ns late: the two places that reflect lie about 7.9 m apart.',
    );
  });

  test('the evidence for noise says that level held, where the engine measured it', () => {
    const finding = givenDrift(-0.16, {
      metric: 'mer',
      shape: null,
      evidence: { features: { level: { db: -0.1, errorDb: 0.2 } } },
    });
    expect(evidence('amplifier-noise', finding, GEAR)).toContain('Level held (−0.1 ±0.2 dB).');
    const fell = givenDrift(-0.16, {
      metric: 'mer',
      shape: null,
      evidence: { features: { level: { db: -3, errorDb: 0.2 } } },
    });
    expect(evidence('amplifier-noise', fell, GEAR)).not.toContain('Level held');
    const assumed = givenDrift(-0.16, {
      metric: 'mer',
      shape: null,
      evidence: { features: { level: { db: 0, errorDb: 0 } } },
    });
    expect(evidence('amplifier-noise', assumed, GEAR)).not.toContain('Level held');
  });

  test('the provider’s other sites are told', () => {
    expect(evidence('provider-feed', givenFinding(), { ...HANDOFF, otherSites: 4 })).toContain(
      '4 other sites of the same provider changed in the same way within hours.',
    );
    expect(evidence('provider-feed', givenFinding(), HANDOFF)).not.toContain('other site');
  });
});

describe('cautions', () => {
  test('line power is named wherever gear stands or is opened, and not at a plain outlet', () => {
    for (const place of [AMPLIFIER, FAR_AMPLIFIER, GEAR]) {
      expect(cautions('loose-connector', place)).toContain('line-power');
    }
    expect(cautions('loose-connector', OUTLET)).not.toContain('line-power');
    expect(cautions('amplifier-gain', OUTLET)).toEqual(expect.arrayContaining(['line-power', 'mains']));
  });

  test('bonding is named where a connector or a drop is opened', () => {
    expect(cautions('corroded-contact', OUTLET)).toContain('bonding');
    expect(cautions('instrument', OUTLET)).not.toContain('bonding');
  });

  test('heights are named where the note speaks of roofs, risers or the open air', () => {
    expect(cautions('suck-out', ROOF_OUTLET)).toContain('heights');
    expect(cautions('water-in-cable', FAR_AMPLIFIER)).toContain('heights');
    expect(cautions('suck-out', { ...OUTLET, hopNote: 'up the riser to floor 9' })).toContain('heights');
    expect(cautions('suck-out', OUTLET)).not.toContain('heights');
  });

  test('leakage is named where a shield is in doubt, and fibre where the note speaks of it', () => {
    expect(cautions('ingress', OUTLET)).toContain('leakage');
    expect(cautions('amplifier-gain', AMPLIFIER)).not.toContain('leakage');
    expect(cautions('power-off', { ...GEAR, hopNote: 'optical node, 4 m of cable' })).toContain('fibre');
    expect(cautions('power-off', GEAR)).not.toContain('fibre');
  });

  test('nobody is warned of work that isn’t done', () => {
    expect(cautions('provider-feed', HANDOFF)).toEqual([]);
    expect(cautions('cable-temperature', ROOF_OUTLET)).toEqual([]);
  });

  test('every caution is given for some cause', () => {
    const places = [...PLACES, { ...GEAR, hopNote: 'optical node' }];
    const given = new Set(places.flatMap((place) => CAUSE_IDS.flatMap((cause) => cautions(cause, place))));
    expect([...given].toSorted()).toEqual([...CAUTION_IDS].toSorted());
    const [first] = causesOf(givenFinding(), AMPLIFIER);
    expect(first!.cautions).toEqual(cautions(first!.cause, AMPLIFIER));
  });
});
