import { startEmbedded } from '../../ingest/store/embedded.ts';

// Starts PostgreSQL on the folder named and waits to be killed.
const server = await startEmbedded(process.argv[2]!);
console.log(server.url);
setInterval(() => {}, 60_000);
