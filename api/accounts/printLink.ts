import { pino } from 'pino';
import { createDatabase, createPool } from '../../ingest/store/database.ts';
import { readConfig } from '../config.ts';
import { loadEnvFile } from '../envFile.ts';
import { openDatabase } from '../openDatabase.ts';
import { linkFor } from './linkFor.ts';

// Prints a one-time link to a new password: npm run password:link -- EMAIL
const [email] = process.argv.slice(2);
if (email === undefined) {
  console.error('usage: npm run password:link -- EMAIL');
  process.exit(2);
}
try {
  loadEnvFile();
  const config = readConfig(process.env);
  const database = await openDatabase(config.database, pino({ level: 'warn' }));
  const db = createDatabase(createPool(database.url));
  try {
    const { path } = await linkFor(db, email, Date.now());
    console.log(
      `Once the server runs, a new password can be chosen within a day at\n  ${config.http.origin}${path}`,
    );
  } finally {
    await db.destroy();
    await database.stop();
  }
} catch (error) {
  console.error(`levelkeep: ${(error as Error).message}`);
  process.exit(1);
}
