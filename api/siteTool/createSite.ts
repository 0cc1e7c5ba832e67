import { z } from 'zod';
import { faultText } from '../faultText.ts';
import type { PlanSummary } from '../schemas/plans.ts';
import type { Provider } from '../schemas/providers.ts';
import { ReadingWaySchema } from '../schemas/readingWays.ts';
import { NewPointTreeSchema, NewSiteSchema, type SiteSetupView } from '../schemas/siteSetup.ts';
import { findSiteId } from './named.ts';
import type { Server } from './server.ts';
import { ToolError } from './toolError.ts';

const Point = NewPointTreeSchema.shape.points.element.extend({ readings: ReadingWaySchema.optional() });

/** A site with its points as one file holds them; provider, plan and feeders by name. */
const SiteFile = NewSiteSchema.omit({ providerId: true, planId: true })
  .extend({
    provider: z.string().optional(),
    plan: z.string().optional(),
    points: z.array(Point).default([]),
  })
  .strict();

/**
 * Makes the site of a file, with its points and how they are read. A site of this name that is there already is kept as it is,
 * and only points that lack are added: a run that broke off can be run again.
 *
 * @returns lines that say what was done
 */
export async function createSite(server: Server, text: string): Promise<string[]> {
  const { provider, plan, points, ...site } = parsed(text);
  const providerId = await idOf(server, '/api/providers', 'provider', provider);
  const planId = await idOf(server, '/api/plans', 'channel plan', plan);
  const known = await findKnown(server, site.name);
  const siteId = known ?? (await make(server, { ...site, providerId, planId }));
  const before = await server.get<SiteSetupView>(`/api/sites/${siteId}/setup`);
  const names = new Set(before.points.map(({ name }) => name));
  const lacking = points.filter(({ name }) => !names.has(name));
  if (lacking.length > 0) {
    const body = { points: lacking.map(({ readings: _, ...point }) => point) };
    await server.send('POST', `/api/sites/${siteId}/point-tree`, body);
  }
  const after = await server.get<SiteSetupView>(`/api/sites/${siteId}/setup`);
  for (const { name, readings } of points) {
    if (readings === undefined) continue;
    const { pointId } = after.points.find((point) => point.name === name)!;
    await server.send('PUT', `/api/sites/${siteId}/points/${pointId}/reading-way`, readings);
  }
  return [
    `${site.name}: site ${siteId}, ${known === null ? 'made' : 'was there already and is kept as it is'}`,
    `${lacking.length} of ${points.length} points added`,
  ];
}

function findKnown(server: Server, name: string): Promise<number | null> {
  // A name of digits alone would be taken for a number.
  return /^\d+$/.test(name) ? Promise.resolve(null) : findSiteId(server, name);
}

async function make(server: Server, site: object): Promise<number> {
  return (await server.send<SiteSetupView>('POST', '/api/sites', site)).site.siteId;
}

function parsed(text: string): z.output<typeof SiteFile> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (cause) {
    throw new ToolError('usage', `the file is not JSON: ${String(cause)}`, 'mend it at the place named', {
      cause,
    });
  }
  const result = SiteFile.safeParse(json);
  if (result.success) return result.data;
  const faults = result.error.issues.map(
    (issue) => `${issue.path.join('.') || 'the file'}: ${faultText(issue)}`,
  );
  throw new ToolError(
    'usage',
    faults.join('\n'),
    'correct the fields named; --help shows the form of the file',
  );
}

async function idOf(
  server: Server,
  path: '/api/providers' | '/api/plans',
  what: string,
  name: string | undefined,
): Promise<number | null> {
  if (name === undefined) return null;
  const { providers = [], plans = [] } = await server.get<{ providers?: Provider[]; plans?: PlanSummary[] }>(
    path,
  );
  const ids = new Map([
    ...providers.map((provider) => [provider.name, provider.providerId] as const),
    ...plans.map((plan) => [plan.name, plan.planId] as const),
  ]);
  const id = ids.get(name);
  if (id !== undefined) return id;
  const names = [...ids.keys()].join(', ') || 'none yet';
  throw new ToolError('usage', `there is no ${what} "${name}"`, `set it up first; there are: ${names}`);
}
