import { expect, test } from 'vitest';
import { bandOf } from '../../../../api/trend/channels/band.ts';
import { chiSquareForLooks, deviatesForLooks } from '../../../../api/trend/channels/falseAlarms.ts';
import { fitShape, squaresBeside } from '../../../../api/trend/channels/fitShape.ts';
import { placeShape } from '../../../../api/trend/channels/placeShape.ts';
import { fitRipple, scanRipple } from '../../../../api/trend/channels/rippleScan.ts';
import { shapeValues } from '../../../../api/trend/channels/shapeValues.ts';
import { takeOut } from '../../../../api/trend/channels/smoothBasis.ts';
import { levelBank, scanBank } from '../../../../api/trend/channels/templateBank.ts';
import { echoDistanceM } from '../../../../ingest/signal/echoDistanceM.ts';
// Published: computed in R, tests/reference/channelGlr.R.
import glr from '../../../reference/channelGlr.json' with { type: 'json' };
import echoes from '../../../reference/echoRipple.json' with { type: 'json' };
import { raster } from './simulateRests.ts';

const freqMhz = raster(40, 12);
const band = bandOf(
  freqMhz,
  freqMhz.map((f) => `at ${f}`),
);
const mean = freqMhz.reduce((sum, f) => sum + f, 0) / freqMhz.length;
const dither = (i: number) => 0.02 * (((i + 1) ** 2 % 7) - 3);
const notch = { kind: 'notch', centreMhz: 301, widthMhz: 40 } as const;
const notched = shapeValues(band, notch).map(
  (value, i) => -0.8 * value + (0.3 * freqMhz[i]!) / mean + dither(i),
);
const rippled = Float64Array.from(
  freqMhz,
  (f, i) => 0.25 * Math.cos((2 * Math.PI * f * 23) / 1000 + 0.7) - (0.2 * f) / mean + dither(i),
);
const bare = (values: Float64Array) => {
  const copy = values.slice();
  takeOut(band.basis, copy);
  return copy;
};

test('a suck-out explains as much beside the smooth shapes, and is as deep, as R finds', () => {
  const fit = fitShape(band, shapeValues(band, notch), notched);
  expect(fit.amplitude).toBeCloseTo(glr.notch.amplitude, 5);
  expect(fit.explained).toBeCloseTo(glr.notch.explained, 5);
});

test('a suck-out is placed where the optimiser of R places it', () => {
  const found = scanBank(levelBank(band), bare(notched))!;
  const place = placeShape(band, found.shape, notched, 1e-3);
  expect(found.shape.kind).toBe('notch');
  // The last grid is a few hundredths of a MHz wide, and the likelihood flat there.
  expect(Math.abs(place.centreMhz!.value - glr.notchPlaced.centreMhz)).toBeLessThan(0.3);
  expect(Math.abs(place.widthMhz!.value / glr.notchPlaced.widthMhz - 1)).toBeLessThan(0.03);
  expect(place.explained).toBeCloseTo(glr.notchPlaced.explained, 3);
});

test('a ripple explains as much, and has the same parts, as R finds', () => {
  const fit = fitRipple(band, 23, rippled);
  expect(fit.cosDb).toBeCloseTo(glr.ripple.cosDb, 5);
  expect(fit.sinDb).toBeCloseTo(glr.ripple.sinDb, 5);
  expect(fit.explained).toBeCloseTo(glr.ripple.explained, 5);
});

test('the delay of a ripple is the one that the optimiser of R finds', () => {
  const found = scanRipple(band, rippled)!;
  const place = placeShape(band, { kind: 'ripple', delayNs: found.delayNs, phaseRad: 0 }, rippled, 1e-4);
  expect(Math.abs(place.delayNs!.value - glr.ripplePlaced.delayNs)).toBeLessThan(0.02);
  expect(place.explained).toBeCloseTo(glr.ripplePlaced.explained, 3);
});

test('channels at even spacing leave the delay open by whole turns of 1/spacing', () => {
  const place = placeShape(band, { kind: 'ripple', delayNs: 23, phaseRad: 0 }, rippled, 1e-4);
  const delayNs = place.delayNs!.value;
  const turnNs = 1000 / 12;
  const alike = [turnNs - delayNs, turnNs + delayNs, 2 * turnNs - delayNs, 2 * turnNs + delayNs];
  expect(place.otherDelaysNs).toHaveLength(alike.length);
  alike.forEach((other, i) => {
    expect(place.otherDelaysNs[i]).toBeCloseTo(other, 0);
  });
});

test('channels at uneven spacing tell a long delay from the short ones', () => {
  const uneven = [57, 69, 85, 99, 115, 129, ...raster(34, 12).map((f) => f + 90)];
  const unevenBand = bandOf(
    uneven,
    uneven.map((f) => `uneven ${f}`),
  );
  const values = shapeValues(unevenBand, { kind: 'ripple', delayNs: 117, phaseRad: 0.4 });
  const found = scanRipple(unevenBand, values)!;
  const place = placeShape(unevenBand, { kind: 'ripple', delayNs: found.delayNs, phaseRad: 0 }, values, 1e-3);
  expect(place.delayNs!.value).toBeCloseTo(117, 1);
  // All of them lie on steps of 2 MHz: a turn of 500 ns.
  expect(place.otherDelaysNs).toEqual([383]);
});

// Published: worked examples of tests/reference/echoRipple.json, period 5 MHz being a delay of 200 ns.
test.each(echoes.period)('an echo of $delayNsRoundTrip ns at $vf is $distanceM m away', (row) => {
  expect(echoDistanceM(1000 / row.delayNsRoundTrip, row.vf)).toBeCloseTo(row.distanceM, 3);
});

test('what runs smoothly along the band leaves nothing', () => {
  const smooth = Float64Array.from(
    freqMhz,
    (f) => 3 - 0.002 * f + 0.2 * Math.sqrt(f) + 90 / f + 4e3 / f ** 2,
  );
  expect(squaresBeside(band, smooth)).toBeLessThan(1e-12);
});

test.each(glr.deviates)('%d looks pass the threshold of R once', (looks, deviates) => {
  expect(deviatesForLooks(looks!)).toBeCloseTo(deviates!, 5);
});

test.each(glr.chiSquare)(
  '%d looks at two degrees of freedom pass the threshold of R once',
  (looks, value) => {
    expect(chiSquareForLooks(looks!)).toBeCloseTo(value!, 5);
  },
);

test('no look at all is refused', () => {
  expect(() => deviatesForLooks(1)).toThrow('looks is 1');
  expect(() => chiSquareForLooks(0)).toThrow(RangeError);
});
