import { machineTime } from '../../../ingest/agent/clock.ts';
import { openAgent } from '../../../ingest/agent/openAgent.ts';
import { runAgent } from '../../../ingest/agent/runAgent.ts';
import { openSpoolDatabase } from '../../../ingest/agent/spool/openSpoolDatabase.ts';
import { fastConfig } from './agentSite.ts';

/** The agent in a process of its own, to be killed. */
const say = (line: string) => console.error(line);
const config = fastConfig(process.argv[2]!);
const database = openSpoolDatabase(config.spool.folder, say);
const agent = openAgent({ config, database, time: machineTime, random: Math.random, say });
const stop = new AbortController();
process.once('SIGTERM', () => stop.abort());
await runAgent(agent, say, stop.signal);
database.close();
