import { readFile } from 'node:fs/promises';
import type { BaselineProposalView, BaselineVersionView } from '../schemas/baseline.ts';
import type { FoundPlan } from '../schemas/foundPlan.ts';
import type { AgentConfigView } from '../schemas/readingWays.ts';
import type { ImportForm, ImportReport } from '../schemas/siteImport.ts';
import type { IssuedSiteKey } from '../schemas/siteKeys.ts';
import type { SiteProgress } from '../schemas/siteProgress.ts';
import { createSite } from './createSite.ts';
import { pointOf, siteIdOf } from './named.ts';
import type { ToolOptions } from './options.ts';
import { baselineLines, importLines, missingLines, planLines, versionLines } from './say.ts';
import { connect, type Server } from './server.ts';
import { ToolError } from './toolError.ts';

const WEEK_MS = 7 * 86_400_000;

/** What a command came to. */
export interface ToolAnswer {
  readonly lines: readonly string[];
  /** What the server answered, for `--json`; null where the lines are all there is. */
  readonly answer: unknown;
  /** Nothing is missing or wrong in what was looked at. */
  readonly sound: boolean;
}

/** Does what one command line asks. Throws a ToolError. */
export async function runTool(options: ToolOptions, nowMs: number): Promise<ToolAnswer> {
  const server = connect(options.url, options.token);
  const [first = '', second = ''] = options.names;
  switch (options.command) {
    case 'create':
      return done(await createSite(server, await textOf(first)), null);
    case 'missing': {
      const progress = await server.get<SiteProgress>(`/api/sites/${await siteIdOf(server, first)}/progress`);
      const sound = progress.steps.every(({ missing }) => missing.length === 0);
      return { lines: missingLines(progress), answer: progress, sound };
    }
    case 'key': {
      if (options.label === null) throw usage('--label is missing', 'say what will hold the key');
      const siteId = await siteIdOf(server, first);
      const issued = await server.send<IssuedSiteKey>('POST', `/api/sites/${siteId}/keys`, {
        label: options.label,
      });
      return done([issued.key], issued);
    }
    case 'agent-config': {
      const siteId = await siteIdOf(server, first);
      const config = await server.get<AgentConfigView>(`/api/sites/${siteId}/agent-config`);
      if (config.text === null)
        throw usage('no point of the site is read by an agent', 'decide how readings come first');
      return done([config.text.trimEnd()], config);
    }
    case 'find-plan': {
      const { siteId, pointId } = await pointOf(server, first, second);
      const found = await server.get<FoundPlan>(`/api/sites/${siteId}/points/${pointId}/found-plan`);
      return done(planLines(found), found);
    }
    case 'propose':
      return propose(server, options, nowMs);
    case 'accept':
      return accept(server, options, nowMs);
    case 'import':
      return bringIn(server, options);
    case 'template': {
      const { files } = await server.get<ImportForm>('/api/imports/sites/form');
      const file = files.find((candidate) => candidate.file === first);
      if (file === undefined) throw usage(`there is no template "${first}"`, 'give sites or points');
      return done([file.template.trimEnd()], file);
    }
  }
}

async function propose(server: Server, options: ToolOptions, nowMs: number): Promise<ToolAnswer> {
  const { siteId, pointId } = await pointOf(server, options.names[0]!, options.names[1]!);
  const window = new URLSearchParams(windowOf(options, nowMs));
  const path = `/api/sites/${siteId}/points/${pointId}/baselines/preview?${window}`;
  const proposal = await server.get<BaselineProposalView>(path);
  return { lines: baselineLines(proposal), answer: proposal, sound: proposal.outside.length === 0 };
}

async function accept(server: Server, options: ToolOptions, nowMs: number): Promise<ToolAnswer> {
  const { siteId, pointId } = await pointOf(server, options.names[0]!, options.names[1]!);
  const version = await server.send<BaselineVersionView>(
    'POST',
    `/api/sites/${siteId}/points/${pointId}/baselines`,
    {
      ...windowOf(options, nowMs),
      ...(options.effective !== null && { effectiveFrom: options.effective }),
      ...(options.note !== null && { exceptionNote: options.note }),
    },
  );
  return done(versionLines(version), version);
}

async function bringIn(server: Server, { sites, points, update, apply }: ToolOptions): Promise<ToolAnswer> {
  if (sites === null) throw usage('--sites is missing', 'give the CSV file of sites');
  const report = await server.send<ImportReport>('POST', '/api/imports/sites', {
    sites: await textOf(sites),
    points: points === null ? null : await textOf(points),
    known: update ? 'update' : 'skip',
    apply,
  });
  return { lines: importLines(report), answer: report, sound: report.faults.length === 0 };
}

function windowOf({ from, to }: ToolOptions, nowMs: number): { from: string; to: string } {
  const end = to ?? new Date(nowMs).toISOString();
  return { from: from ?? new Date(Date.parse(end) - WEEK_MS).toISOString(), to: end };
}

/** A file's text, which must be UTF-8: what can't be read must not go in with characters lost. */
async function textOf(file: string): Promise<string> {
  const bytes = await readFile(file).catch((cause: unknown) => {
    throw new ToolError('usage', `${file} can’t be read`, 'check the path', { cause });
  });
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch (cause) {
    throw new ToolError('usage', `${file} is not UTF-8 text`, 'save it as “CSV UTF-8”', { cause });
  }
}

function done(lines: readonly string[], answer: unknown): ToolAnswer {
  return { lines, answer, sound: true };
}

function usage(message: string, action: string): ToolError {
  return new ToolError('usage', message, action);
}
