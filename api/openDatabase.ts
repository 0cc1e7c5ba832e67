import type { Logger } from 'pino';
import type { Config } from './config.ts';

export interface OpenDatabase {
  readonly url: string;
  stop(): Promise<void>;
}

/** The database that the settings name; without an address a PostgreSQL of our own is started in the data folder. */
export async function openDatabase(settings: Config['database'], log: Logger): Promise<OpenDatabase> {
  if (settings.url !== null) return { url: settings.url, stop: async () => {} };
  // Loaded only where it is used: an installation with its own PostgreSQL does without the package.
  const { startEmbedded } = await import('../ingest/store/embedded.ts');
  const server = await startEmbedded(settings.dataFolder);
  if (server.folder !== settings.dataFolder) {
    log.warn(`the database lives in ${server.folder}: its account may not pass to ${settings.dataFolder}`);
  }
  return server;
}
