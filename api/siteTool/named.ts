import type { SiteList, SiteSetupView } from '../schemas/siteSetup.ts';
import type { Server } from './server.ts';
import { ToolError } from './toolError.ts';

/** The number of the one site of this name, or of this number; null when there is none. Throws where several have the name. */
export async function findSiteId(server: Server, name: string): Promise<number | null> {
  if (/^\d+$/.test(name)) return Number(name);
  const search = new URLSearchParams({ search: name, limit: '500' });
  const { sites } = await server.get<SiteList>(`/api/sites?${search}`);
  const alike = sites.filter((site) => site.name === name);
  if (alike.length > 1) {
    const numbers = alike.map(({ siteId }) => siteId).join(', ');
    throw new ToolError(
      'usage',
      `${alike.length} sites are called "${name}"`,
      `give one of the numbers ${numbers}`,
    );
  }
  return alike[0]?.siteId ?? null;
}

/** As {@link findSiteId}; throws when there is no such site. */
export async function siteIdOf(server: Server, name: string): Promise<number> {
  const siteId = await findSiteId(server, name);
  if (siteId !== null) return siteId;
  throw new ToolError('usage', `there is no site "${name}"`, 'give its whole name, or its number');
}

/** A site and one of its points, by name or number. */
export async function pointOf(server: Server, site: string, point: string) {
  const siteId = await siteIdOf(server, site);
  const { points } = await server.get<SiteSetupView>(`/api/sites/${siteId}/setup`);
  const found =
    points.find(({ name }) => name === point) ?? points.find(({ pointId }) => String(pointId) === point);
  if (found !== undefined) return { siteId, pointId: found.pointId };
  const names = points.map(({ name }) => name).join(', ') || 'none';
  throw new ToolError('usage', `the site has no point "${point}"`, `give one of its points: ${names}`);
}
