import type { ProbableCause } from '../diagnosis/causes/cause.ts';
import { daysLeft, lastingClauses } from '../diagnosis/findingSentence.ts';
import { placedFindings } from '../diagnosis/placedFinding.ts';
import { whatHappened } from '../diagnosis/whatHappened.ts';
import { count } from '../diagnosis/words.ts';
import type { SiteTrouble } from '../punctuality/siteTroubles.ts';
import { treeOf } from '../risk/loadSite.ts';
import type { RankedSite } from '../risk/refreshSiteRisk.ts';
import type { Finding } from '../trend/types.ts';
import { type Condition, leadOf } from './conditions.ts';
import type { Seen } from './moveAlert.ts';
import { isGraver, leastTimeLeft } from './severity.ts';

const LOOK_AT_IT = 'Look at the then and now of the site page, and measure at both ends of the hop.';

type CausesOf = (finding: Finding) => readonly ProbableCause[];

/**
 * What one alert says of the conditions that it tells of, `known` the key that it goes by already: the gravest leads, the others are
 * named. Sentences are kept, so they name dates in the site's zone and never an age.
 */
export function tellConditions(
  ranked: RankedSite,
  conditions: readonly Condition[],
  causesOf: CausesOf,
  nowMs: number,
  known: string | null = null,
): Seen {
  const [lead, ...others] = conditions.toSorted(
    (a, b) =>
      (isGraver(a.severity, b.severity) ? -1 : isGraver(b.severity, a.severity) ? 1 : 0) ||
      b.outletDays - a.outletDays,
  ) as [Condition, ...Condition[]];
  const first = conditions.reduce((a, b) => (b.onsetMs < a.onsetMs ? b : a));
  const telling =
    lead.trouble === null ? tellSignal(ranked, lead, causesOf, nowMs) : tellTrouble(lead.trouble, lead);
  const also = others
    .filter(({ findings }) => findings.length > 0)
    .map((other) => titleOf(ranked, other, nowMs));
  return {
    causeKey: conditions.some(({ causeKey }) => causeKey === known) ? known! : lead.causeKey,
    hopTo: lead.hopTo,
    severity: lead.severity,
    side: lead.side,
    onsetMs: first.onsetMs,
    onsetLowMs: first.onsetLowMs,
    onsetHighMs: first.onsetHighMs,
    limitDays: limitDays(ranked, conditions, nowMs),
    outlets: Math.max(...conditions.map(({ outlets }) => outlets)),
    sites: 1,
    priority: Math.max(...conditions.map(({ outletDays }) => outletDays)),
    ...telling,
    sentence: [telling.sentence, ...(also.length > 0 ? [`With it: ${also.join('; ')}.`] : [])].join(' '),
  };
}

type Telling = Pick<Seen, 'title' | 'sentence' | 'cause' | 'doFirst'>;

function tellSignal(ranked: RankedSite, condition: Condition, causesOf: CausesOf, nowMs: number): Telling {
  const { site } = ranked;
  const finding = leadOf(condition.findings);
  const placed = placedFindings([finding], treeOf(site.points))[0]!;
  const latestMs = ranked.facts.points.find(({ pointId }) => pointId === finding.pointId)?.lastAtMs ?? nowMs;
  const clauses = lastingClauses(placed, { timeZone: site.row.time_zone, nowMs, latestMs });
  const cause = causesOf(finding)[0];
  const elsewhere = condition.pointIds.length - 1;
  return {
    title: titleOf(ranked, condition, nowMs),
    sentence: `${[...clauses, ...(elsewhere > 0 ? [`shows at ${count(elsewhere, 'more point')} below`] : [])].join('; ')}.`,
    cause: cause?.title ?? null,
    doFirst: cause?.check[0] ?? LOOK_AT_IT,
  };
}

function titleOf({ site }: RankedSite, { findings }: Condition, nowMs: number): string {
  const placed = placedFindings([leadOf(findings)], treeOf(site.points))[0]!;
  return whatHappened(placed, { timeZone: site.row.time_zone, nowMs })[0]!;
}

function tellTrouble({ clauses, doFirst }: SiteTrouble, { outlets }: Condition): Telling {
  return {
    title: clauses[0]!,
    sentence: `${[...clauses, `${count(outlets, 'outlet')} behind it`].join('; ')}.`,
    cause: null,
    doFirst,
  };
}

const NONE_LEFT = { p10: 0, p50: 0, p90: 0 };

function limitDays(
  { facts }: RankedSite,
  conditions: readonly Condition[],
  nowMs: number,
): Seen['limitDays'] {
  const least = leastTimeLeft(conditions.map(({ timeLeft }) => timeLeft));
  if (least === 'lost' || least === 'part-lost') return NONE_LEFT;
  const left = conditions
    .flatMap(({ findings }) => findings)
    .map((finding) => {
      const latestMs = facts.points.find(({ pointId }) => pointId === finding.pointId)?.lastAtMs ?? nowMs;
      return daysLeft(finding, { nowMs, latestMs });
    })
    .filter((days) => days !== null);
  return left.length === 0 ? null : left.reduce((a, b) => (b.p50 < a.p50 ? b : a));
}
