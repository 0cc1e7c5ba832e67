import type { CauseId } from '../../api/diagnosis/causes/cause.ts';
import { causePlace, type SetUpPoint } from '../../api/diagnosis/causes/causePlace.ts';
import { causesOf } from '../../api/diagnosis/causes/causesOf.ts';
import { buildFrame, type Frame } from '../../api/trend/frame.ts';
import { observe } from '../../api/trend/observe.ts';
import { emptySiteTrend, takeSweep } from '../../api/trend/siteTrend.ts';
import type { Finding, Reference, SitePoint } from '../../api/trend/types.ts';
import { median } from '../../ingest/signal/median.ts';
import { MAD_TO_SD, medianAbsoluteDeviation } from '../../ingest/signal/medianAbsoluteDeviation.ts';
import { robustLine } from '../../ingest/signal/robustLine.ts';
import type { Sweep } from '../../ingest/sweep.ts';
import type { Alert } from './alert.ts';
import type { EvaluatedSite } from './evaluatedSite.ts';

export interface Engine {
  /** Takes a sweep, in order of time over all points; answers the alerts that are new or changed. */
  take(point: string, sweep: Sweep): readonly Alert[];
}

/** The engine that is evaluated. No other file of the harness knows it. */
export function createEngine(site: EvaluatedSite): Engine {
  const trend = emptySiteTrend();
  const nameOf = site.points.map(({ name }) => name);
  const idOf = (name: string) => nameOf.indexOf(name) + 1;
  const tree: SitePoint[] = site.points.map(({ name, fedBy, correctsItself, correctionWindowDb }) => ({
    pointId: idOf(name),
    fedBy: fedBy === null ? null : idOf(fedBy),
    isHandoff: fedBy === null,
    correctsItself,
    correctionWindowDb,
  }));
  const setUp: SetUpPoint[] = site.points.map(({ name, fedBy, kind, correctsItself }) => ({
    pointId: idOf(name),
    fedBy: fedBy === null ? null : idOf(fedBy),
    kind,
    hopNote: '',
    correctsItself,
    ambientKnown: false,
  }));
  const gathered = new Map<string, Sweep[]>(nameOf.map((name) => [name, []]));
  const compared = new Map<string, { frame: Frame; reference: Reference }>();

  return {
    take(point, sweep) {
      if (sweep.atMs < site.baselineUntilMs) {
        gathered.get(point)!.push(sweep);
        return [];
      }
      if (!compared.has(point)) compared.set(point, compare(site, gathered.get(point)!));
      const { frame, reference } = compared.get(point)!;
      const { changed } = takeSweep(trend, tree, idOf(point), frame, observe(sweep, frame), reference);
      return changed
        .filter(isTold)
        .map((finding) => ({ ...toAlert(finding, nameOf), cause: causeOf(finding, setUp) }));
    },
  };
}

/** Causes as the simulator calls them; what it never plants keeps our own name. */
const PLANTED_AS: Partial<Record<CauseId, string>> = {
  'passive-changed': 'splitter changed',
  'passive-failing': 'failing passive',
  'hidden-loss': 'failing passive',
  'cable-changed': 'water in cable',
  'water-in-cable': 'water in cable',
  'open-line': 'power off',
  'power-off': 'power off',
  'amplifier-dead': 'power off',
  modulator: 'modulator off',
  'channel-blocked': 'modulator off',
  'amplifier-gain': 'amplifier losing gain',
  'provider-feed': 'provider feed low',
  'cable-echo': 'echo from a damaged cable',
  'corroded-contact': 'corroded contact',
  'loose-connector': 'loose connector',
  'amplifier-noise': 'amplifier noise',
};

function causeOf(finding: Finding, setUp: readonly SetUpPoint[]): string | null {
  const place = causePlace(finding, setUp, 0);
  const likeliest = place === null ? undefined : causesOf(finding, place)[0]?.cause;
  return likeliest === undefined || likeliest === 'not-sure' ? null : (PLANTED_AS[likeliest] ?? likeliest);
}

function isTold({ kind, explainedBy }: Finding): boolean {
  return kind !== 'instrument-change' && explainedBy === null;
}

function toAlert(finding: Finding, nameOf: readonly string[]): Omit<Alert, 'cause'> {
  const { event, kind, metric, detectedMs, onsetMs, onsetLowMs, onsetHighMs, closedMs, side } = finding;
  const { sizeDb, sizeLowDb, sizeHighDb, slopeDbPerDay, daysToLimit, hopTo, alsoPossible } = finding;
  return {
    id: String(event),
    kind,
    metric,
    detectedMs,
    onsetMs,
    onsetLowMs,
    onsetHighMs,
    closedMs,
    sizeDb,
    sizeLowDb,
    sizeHighDb,
    slopeDbPerDay,
    daysToLimit,
    hops: [hopTo, ...alsoPossible].map((id) => nameOf[id - 1]!),
    side,
  };
}

export function compare(
  site: EvaluatedSite,
  sweeps: readonly Sweep[],
): { frame: Frame; reference: Reference } {
  const freqMhz = sweeps[0]!.freqMhz;
  const columns = (read: (sweep: Sweep) => Sweep['levelDbmv'] | null) =>
    freqMhz.map((_, i) => sweeps.map((sweep) => read(sweep)?.[i] ?? null));
  const levels = columns((sweep) => sweep.levelDbmv);
  const mers = columns((sweep) => sweep.merDb);
  const levelDbmv = levels.map(median);
  const line = robustLine(freqMhz, levelDbmv)!;
  const { limits } = site;
  const frame = buildFrame({
    carriers: freqMhz.map((mhz, i) => ({
      freqMhz: mhz,
      channel: site.channels[i]!.channel,
      group: site.channels[i]!.modulation,
      thenLevelDbmv: levelDbmv[i]!,
      thenMerDb: median(mers[i]!),
      thenCnrDb: null,
      merLimitDb: limits.merFloorDb,
      cnrLimitDb: null,
    })),
    band: { lowMhz: freqMhz[0]!, highMhz: freqMhz[freqMhz.length - 1]! },
    line: { levelDbmv: line.levelDbmv, tiltDb: line.tiltDb },
    channelAt: (mhz) =>
      site.channels[freqMhz.findIndex((each) => Math.abs(each - mhz) < 0.05)]?.channel ?? null,
  });
  const reference: Reference = {
    baselineVersion: 1,
    levelDbmv: line.levelDbmv,
    tiltDb: line.tiltDb,
    flatnessDb: frame.thenFlatnessDb,
    merMarginDb: Math.min(...mers.map(median).filter((mer) => mer !== null)) - limits.merFloorDb,
    ambientC: median(sweeps.map(({ ambientC }) => ambientC)),
    levelSpreadDb: median(levels.map(spread)),
    merSpreadDb: median(mers.map(spread)),
    instruments: [...new Set(sweeps.map(({ instrument }) => instrument))],
    madeUntilMs: Math.max(...sweeps.map(({ atMs }) => atMs)),
    limits: [
      { name: 'level', metric: 'level', min: line.levelDbmv - limits.levelBelowDb, max: null },
      { name: 'level', metric: 'level', min: null, max: line.levelDbmv + limits.levelAboveDb },
      { name: 'MER', metric: 'mer', min: 0, max: null },
    ],
  };
  return { frame, reference };
}

function spread(values: readonly (number | null)[]): number | null {
  const deviation = medianAbsoluteDeviation(values);
  return deviation === null ? null : MAD_TO_SD * deviation;
}
