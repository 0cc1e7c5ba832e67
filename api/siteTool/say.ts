import type { BaselineProposalView, BaselineVersionView } from '../schemas/baseline.ts';
import type { FoundPlan } from '../schemas/foundPlan.ts';
import type { ImportReport } from '../schemas/siteImport.ts';
import type { SiteProgress } from '../schemas/siteProgress.ts';

/** A step with what it lacks; those that are done in one word. */
export function missingLines({ steps, points }: SiteProgress): string[] {
  return [
    ...steps.map(({ step, done, missing }) => `${step}: ${done ? 'done' : missing.join(' ') || 'open'}`),
    ...points.map(({ name, heard }) =>
      heard === null
        ? `  ${name}: waiting for a first sweep`
        : `  ${name}: heard at ${heard.at}, ${heard.found} channels, ${figure(heard.levelDbmv)} dBmV, ${heard.breaches.length} outside limits`,
    ),
  ];
}

export function planLines(found: FoundPlan): string[] {
  const list = (channels: readonly { channel: string }[]) =>
    channels.map(({ channel }) => channel).join(', ') || 'none';
  const known = found.known.map(
    ({ name, planId, found: carriers, notFound }) =>
      `plan ${planId} "${name}" has ${carriers} of the carriers; not found: ${notFound.join(', ') || 'none'}`,
  );
  return [
    `raster ${found.raster}, ${found.rasterIs}: ${found.rasterWhy}`,
    `channels: ${list(found.channels)}`,
    `analogue: ${list(found.channels.filter(({ modulation }) => modulation === 'analogue'))}`,
    `looked for and not there: ${list(found.missing)}`,
    `outside the raster: ${found.outsideMhz.join(', ') || 'none'}`,
    ...known,
  ];
}

export function baselineLines(proposal: BaselineProposalView): string[] {
  return [
    `${proposal.sweeps} sweeps by ${proposal.instruments.join(', ')}, ${proposal.fromAt} to ${proposal.toAt}`,
    `level ${figure(proposal.levelDbmv)} dBmV, tilt ${figure(proposal.tiltDb)} dB, flatness ${figure(proposal.flatnessDb)} dB`,
    ...proposal.outside.map(
      ({ quantity, channel, value, unit, limit }) =>
        `outside limits: ${quantity}${channel === null ? '' : ` of RF ${channel}`} is ${figure(value)} ${unit} (${limit})`,
    ),
    ...(proposal.notLookedFor.length === 0 ? [] : [`never looked for: ${proposal.notLookedFor.join(', ')}`]),
  ];
}

export function versionLines({
  version,
  acceptedBy,
  effectiveFrom,
  exceptionNote,
}: BaselineVersionView): string[] {
  const exception = exceptionNote === null ? '' : `, with the exception: ${exceptionNote}`;
  return [`version ${version}, accepted by ${acceptedBy}, in force from ${effectiveFrom}${exception}`];
}

export function importLines({ applied, counts, points, faults }: ImportReport): string[] {
  const sites = `${counts.add} added, ${counts.update} updated, ${counts.unchanged} unchanged, ${counts.skip} left as they are, ${counts.refuse} with faults`;
  return [
    `${applied ? 'done' : 'nothing is kept; it would be'}: sites: ${sites}; points: ${points.added} added, ${points.changed} changed`,
    ...faults.map(({ file, row, column, value, problem }) =>
      [
        `${file}`,
        row === null ? '' : ` row ${row}`,
        column === null ? '' : `, ${column}`,
        value && ` "${value}"`,
        `: ${problem}`,
      ].join(''),
    ),
  ];
}

function figure(value: number | null): string {
  return value === null ? '–' : value.toFixed(1);
}
