import { parseArgs } from 'node:util';
import { askServer, type ReadingRequest } from './askServer.ts';

const USAGE = `Has the server read one of its probes now, and says what came of it.

  LEVELKEEP_TOKEN=lkt_… npm run probe:now -- --site 12 --probe 3 --url http://127.0.0.1:8620

--site and --probe are the numbers in the address of the probe's page. LEVELKEEP_TOKEN is an automation token of
the role technician or higher. Exit code: 0 read and stored, 3 no reading, 2 wrong use, 1 the server refused.`;

const [READ, REFUSED, MISUSED, NO_READING] = [0, 1, 2, 3];

try {
  process.exitCode = await run();
} catch (error) {
  console.error(error instanceof Error ? error.message : error);
  process.exitCode = REFUSED;
}

async function run(): Promise<number> {
  const request = parseRequest();
  if (request === null) {
    console.error(USAGE);
    return MISUSED;
  }
  const result = await askServer(request);
  if (result === null) {
    console.error('no server took it up within three minutes\n→ see that a server with the role jobs runs');
    return NO_READING;
  }
  if (result.error !== null) {
    console.error(`${result.error.message}\n→ ${result.error.action}`);
    return NO_READING;
  }
  console.log(result.told ?? 'read and stored');
  return READ;
}

/** Null when something is missing or no number. */
function parseRequest(): ReadingRequest | null {
  const { values } = parseArgs({
    options: {
      site: { type: 'string' },
      probe: { type: 'string' },
      url: { type: 'string', default: 'http://127.0.0.1:8620' },
      help: { type: 'boolean', short: 'h' },
    },
  });
  const token = process.env['LEVELKEEP_TOKEN'];
  const [siteId, probeId] = [Number(values.site), Number(values.probe)];
  if (values.help || !token || !Number.isInteger(siteId) || !Number.isInteger(probeId)) return null;
  return { url: values.url.replace(/\/+$/, ''), token, siteId, probeId };
}
