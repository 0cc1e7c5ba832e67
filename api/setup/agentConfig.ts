import type { AgentConfigView, ReadingWay } from '../schemas/readingWays.ts';
import type { PointSetup, SiteSetup } from '../schemas/siteSetup.ts';

/** What the agent takes for "every", seconds. */
const SHORTEST_EVERY_S = 30;
const LONGEST_EVERY_S = 86_400;

interface AgentSite {
  readonly site: Pick<SiteSetup, 'name' | 'timeZone'>;
  /** From the handoff down. */
  readonly points: readonly Pick<PointSetup, 'pointId' | 'name' | 'label' | 'intervalS'>[];
  readonly ways: ReadonlyMap<number, ReadingWay>;
  /** Public address of the server, without a slash at its end. */
  readonly origin: string;
}

/**
 * The config that `npm run agent` reads, with every point of the site that an agent is to read, and what else a person has to
 * do. It holds no secret: the site key is a file beside it.
 */
export function agentConfigOf({ site, points, ways, origin }: AgentSite): AgentConfigView {
  const read = points.flatMap((point) => {
    const probe = probeOf(point, ways.get(point.pointId));
    return probe === null ? [] : [{ point, probe, way: ways.get(point.pointId)! }];
  });
  const scripted = points.find(({ pointId }) => ways.get(pointId)?.way === 'script');
  const config = {
    agent: agentName(site.name),
    zone: site.timeZone,
    server: { url: origin, keyFile: 'site.key' },
    probes: read.map(({ probe }) => probe),
  };
  return {
    text: read.length === 0 ? null : `${JSON.stringify(config, null, 2)}\n`,
    reads: read.map(({ point }) => point.label || point.name),
    notes: [
      ...secretNotes(read.map(({ way }) => way)),
      ...read.flatMap(({ point, way }) => pointNotes(point, way)),
    ],
    curl: scripted === undefined ? null : curlOf(scripted.name, origin),
  };
}

function probeOf({ name: point, intervalS }: AgentSite['points'][number], way: ReadingWay | undefined) {
  const base = { point, every: everyOf(intervalS) };
  switch (way?.way) {
    case 'agent-modem':
      return {
        ...base,
        driver: 'modem',
        host: way.host,
        ...(way.user !== '' && { user: way.user, auth: 'sha256', priv: 'aes' }),
      };
    case 'agent-command':
      return { ...base, driver: 'command', program: way.program };
    case 'agent-folder':
      return {
        ...base,
        driver: 'folder',
        folder: way.folder,
        instrument: way.instrument,
        format: way.format,
      };
    default:
      return null;
  }
}

/** "15m", "2h" or "90s", within what the agent takes. */
function everyOf(intervalS: number): string {
  const seconds = Math.min(LONGEST_EVERY_S, Math.max(SHORTEST_EVERY_S, intervalS));
  if (seconds % 3600 === 0) return `${seconds / 3600}h`;
  return seconds % 60 === 0 ? `${seconds / 60}m` : `${seconds}s`;
}

function secretNotes(ways: readonly ReadingWay[]): string[] {
  const modems = ways.filter((way) => way.way === 'agent-modem');
  const notes: string[] = [];
  if (modems.some(({ user }) => user === '')) {
    notes.push('Set LEVELKEEP_COMMUNITY to the read community of the modems before the agent starts.');
  }
  if (modems.some(({ user }) => user !== '')) {
    notes.push(
      'Set LEVELKEEP_AUTH_PASSWORD and LEVELKEEP_PRIV_PASSWORD for SNMP v3; "auth" and "priv" in the config must be what the modem asks for.',
    );
  }
  return notes;
}

function pointNotes(point: AgentSite['points'][number], way: ReadingWay): string[] {
  const title = point.label || point.name;
  const notes: string[] = [];
  if (way.way === 'agent-folder' && way.format === 'csv') {
    notes.push(
      `${title}: put a file of the meter through "npm run agent -- --preview FILE", then write the "mapping" for its columns. Until then its files are refused.`,
    );
  }
  if (point.intervalS < SHORTEST_EVERY_S || point.intervalS > LONGEST_EVERY_S) {
    notes.push(`${title}: the agent reads every 30 s to 24 h, so it takes ${everyOf(point.intervalS)}.`);
  }
  return notes;
}

/** The building's name in small letters and hyphens. */
function agentName(site: string): string {
  const plain = site.normalize('NFKD').replaceAll(/\p{M}/gu, '').toLowerCase();
  return plain.replaceAll(/[^a-z0-9]+/g, '-').replaceAll(/^-+|-+$/g, '') || 'site';
}

function curlOf(point: string, origin: string): string {
  const sweep = {
    sweeps: [
      {
        point,
        at: '2026-03-01T12:00:00Z',
        instrument: 'probe-7',
        freq_mhz: [57, 63, 69],
        level_dbmv: [20.1, 19.8, 19.9],
        mer_db: [41.2, 40.8, 41],
      },
    ],
  };
  return `curl ${origin}/ingest/sweeps \\
  -H "Authorization: Bearer $LEVELKEEP_KEY" -H 'Content-Type: application/json' \\
  -d '${JSON.stringify(sweep).replaceAll("'", "'\\''")}'`;
}
