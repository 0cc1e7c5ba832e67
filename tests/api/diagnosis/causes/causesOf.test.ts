import { describe, expect, test } from 'vitest';
import { CAUSE_IDS, type CauseId, type CausePlace } from '../../../../api/diagnosis/causes/cause.ts';
import { causesOf } from '../../../../api/diagnosis/causes/causesOf.ts';
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
  WATCHED_GEAR,
} from './givenCase.ts';

const cableOdds = { shapeOdds: { flat: 0.04, cable: 0.93, 'low-end': 0.03 } };
const lowEndOdds = { shapeOdds: { flat: 0.02, cable: 0.02, 'low-end': 0.96 } };
const lost = { kind: 'channel-lost', metric: 'channels', shape: null, sizeDb: 0 } as const;
const outage = { kind: 'outage', metric: 'level', shape: null, sizeDb: 0 } as const;
const merHeld = { features: { level: { db: -0.1, errorDb: 0.1 } } };

/** What the engine would tell of each fault, where, and the causes that come first, in order. */
const CASES: readonly [string, Finding, CausePlace, readonly CauseId[]][] = [
  ['a flat step of 3.6 dB before an outlet', givenFinding(), OUTLET, ['passive-changed']],
  ['a flat step of 1 dB before an outlet', givenFinding({ sizeDb: -1 }), OUTLET, ['passive-changed']],
  ['a flat step of 3.6 dB at an amplifier', givenFinding(), AMPLIFIER, ['passive-changed']],
  ['a flat step upwards at an amplifier', givenFinding({ sizeDb: 2 }), AMPLIFIER, ['amplifier-adjusted']],
  ['a slow flat loss at an amplifier', givenDrift(-0.05), AMPLIFIER, ['amplifier-gain']],
  ['a flat step of 1.5 dB at gear', givenFinding({ sizeDb: -1.5 }), WATCHED_GEAR, ['amplifier-gain']],
  ['a slow flat loss at gear', givenDrift(-0.12), WATCHED_GEAR, ['amplifier-gain']],
  ['a slow flat loss before an outlet', givenDrift(-0.02), OUTLET, ['passive-failing']],
  [
    'a slow √f loss in outdoor cable, told as tilt',
    givenDrift(-0.2, { metric: 'tilt', shape: 'cable', evidence: cableOdds }),
    FAR_AMPLIFIER,
    ['water-in-cable'],
  ],
  ['a slow √f loss before an outlet', givenDrift(-0.1, { shape: 'cable' }), OUTLET, ['water-in-cable']],
  [
    'a √f loss at once',
    givenFinding({ metric: 'tilt', shape: 'cable', sizeDb: -2 }),
    OUTLET,
    ['cable-changed'],
  ],
  [
    'a small √f swing under the roof',
    givenDrift(0.02, { shape: 'cable', sizeDb: 0.4 }),
    ROOF_OUTLET,
    ['cable-temperature'],
  ],
  [
    'a low end that falls, told as tilt that rises',
    givenDrift(0.15, { metric: 'tilt', shape: 'low-end', evidence: lowEndOdds }),
    OUTLET,
    ['corroded-contact'],
  ],
  [
    'dips that come and go',
    givenFinding({ kind: 'dips', shape: null, sizeDb: -6, evidence: { times: 5 } }),
    FAR_AMPLIFIER,
    ['loose-connector'],
  ],
  [
    'MER falling at gear whose input is watched',
    givenDrift(-0.16, { metric: 'mer', shape: null, evidence: merHeld }),
    WATCHED_GEAR,
    ['amplifier-noise'],
  ],
  [
    'MER falling at gear that hides what is ahead of it',
    givenDrift(-0.16, { metric: 'mer', shape: null, evidence: merHeld }),
    GEAR,
    ['hidden-loss', 'amplifier-noise'],
  ],
  ['MER falling before an outlet', givenDrift(-0.16, { metric: 'mer', shape: null }), OUTLET, ['ingress']],
  [
    'a notch',
    givenDrift(-0.3, {
      kind: 'notch',
      metric: 'flatness',
      shape: null,
      evidence: { freqMhz: 447, widthMhz: 30 },
    }),
    OUTLET,
    ['suck-out'],
  ],
  [
    'a ripple',
    givenFinding({ kind: 'ripple', metric: 'flatness', shape: null, sizeDb: 0.8, evidence: { delayNs: 62 } }),
    OUTLET,
    ['cable-echo'],
  ],
  [
    'one channel lost at the handoff',
    givenFinding({ ...lost, side: 'provider', evidence: { channels: ['98'] } }),
    HANDOFF,
    ['modulator'],
  ],
  [
    'channels weak against the others at the handoff',
    givenFinding({ kind: 'channel-shift', shape: null, sizeDb: -3, evidence: { channels: ['12', '13'] } }),
    HANDOFF,
    ['modulator'],
  ],
  [
    'channels with low MER inside the building',
    givenFinding({ kind: 'channel-shift', metric: 'mer', shape: null, evidence: { channels: ['50', '51'] } }),
    OUTLET,
    ['ingress'],
  ],
  [
    'several channels lost before an outlet',
    givenFinding({ ...lost, evidence: { channels: ['2', '3', '4'] } }),
    OUTLET,
    ['channel-blocked', 'modulator'],
  ],
  ['a flat step at the handoff', givenFinding({ side: 'provider', sizeDb: -4 }), HANDOFF, ['provider-feed']],
  [
    'a tilt step at the handoff',
    givenFinding({ metric: 'tilt', shape: 'cable', sizeDb: -2 }),
    HANDOFF,
    ['provider-feed'],
  ],
  ['an outage at the handoff', givenFinding(outage), HANDOFF, ['provider-feed']],
  [
    'an outage behind an amplifier that ended by itself',
    givenFinding({ ...outage, closedMs: Date.parse('2026-10-12T21:00:00Z') }),
    AMPLIFIER,
    ['power-off'],
  ],
  ['an outage behind an amplifier', givenFinding(outage), AMPLIFIER, ['power-off', 'amplifier-dead']],
  ['an outage before an outlet', givenFinding(outage), OUTLET, ['open-line']],
  [
    'another instrument',
    givenFinding({ kind: 'instrument-change', shape: null, sizeDb: -0.9, side: 'unsure' }),
    OUTLET,
    ['instrument'],
  ],
  [
    'peak to valley that grew in no known way',
    givenFinding({ metric: 'flatness', shape: null, sizeDb: 2 }),
    OUTLET,
    ['not-sure'],
  ],
  ['a slow rise of level', givenDrift(0.08), OUTLET, ['not-sure']],
  ['MER that rose by itself', givenDrift(0.1, { metric: 'mer', shape: null }), OUTLET, ['not-sure']],
];

describe('causesOf', () => {
  test.each(CASES)('names the cause of %s', (_name, finding, place, expected) => {
    const causes = causesOf(finding, place).map(({ cause }) => cause);
    expect(causes.slice(0, expected.length)).toEqual(expected);
  });

  test('names every cause of the list for some finding', () => {
    const named = new Set(CASES.flatMap(([, , , expected]) => expected));
    expect(CAUSE_IDS.filter((cause) => !named.has(cause))).toEqual([]);
  });

  test.each(CASES)('gives confidences that add up to 1 at most and fall, for %s', (_name, finding, place) => {
    const confidences = causesOf(finding, place).map(({ confidence }) => confidence);
    const sum = confidences.reduce((total, confidence) => total + confidence, 0);
    expect(sum).toBeLessThanOrEqual(1 + 1e-9);
    expect(sum).toBeGreaterThan(0.9);
    expect(confidences).toEqual(confidences.toSorted((a, b) => b - a));
    expect(Math.min(...confidences)).toBeGreaterThanOrEqual(0.05);
  });

  test('is sure only where the signs are plain', () => {
    const sure = (finding: Finding, place: CausePlace) => causesOf(finding, place)[0]!.confidence;
    expect(sure(givenFinding(), OUTLET)).toBeGreaterThan(0.8);
    expect(sure(givenFinding({ sizeDb: -1.5 }), AMPLIFIER)).toBeLessThan(0.7);
    expect(sure(givenFinding({ shape: null }), AMPLIFIER)).toBeLessThan(sure(givenFinding(), AMPLIFIER));
  });

  test('believes in a splitter more where the step has a splitter’s size', () => {
    const confidence = (sizeDb: number) =>
      causesOf(givenFinding({ sizeDb }), AMPLIFIER).find(({ cause }) => cause === 'passive-changed')!
        .confidence;
    expect(confidence(-3.6)).toBeGreaterThan(confidence(-2.9));
    expect(confidence(-7.1)).toBeGreaterThan(confidence(-8.8));
  });

  test('believes in the provider’s feed more when other sites moved with it', () => {
    const confidence = (otherSites: number) =>
      causesOf(givenFinding({ ...outage, side: 'provider' }), { ...HANDOFF, otherSites })[0]!.confidence;
    expect(confidence(4)).toBeGreaterThan(0.9);
    expect(confidence(0)).toBeLessThan(0.7);
  });

  test('lets a measured temperature speak against the weather', () => {
    const finding = givenDrift(-0.02, { shape: 'cable', sizeDb: -0.4 });
    const weather = (ambientKnown: boolean) =>
      causesOf(finding, { ...ROOF_OUTLET, ambientKnown }).find(({ cause }) => cause === 'cable-temperature');
    expect(weather(false)!.confidence).toBeGreaterThan(weather(true)?.confidence ?? 0);
  });
});
