import { readdir, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { MIGRATION_FOLDER } from './migrate.ts';

const SKELETON = `import { type Kysely, sql } from 'kysely';

/** What changes and why. */
export async function up(db: Kysely<unknown>): Promise<void> {
  await sql\`\`.execute(db);
}
`;

// npm run migration:create NAME: writes the next numbered migration.
const name = process.argv[2] ?? '';
if (!/^[a-z][a-z0-9_]*$/.test(name)) {
  console.error(
    'name the migration in small letters and underscores: npm run migration:create add_point_note',
  );
  process.exit(2);
}
const numbers = (await readdir(MIGRATION_FOLDER))
  .map((file) => Number.parseInt(file, 10))
  .filter(Number.isInteger);
const next = String(Math.max(0, ...numbers) + 1).padStart(4, '0');
const file = path.join(MIGRATION_FOLDER, `${next}_${name}.ts`);
await writeFile(file, SKELETON, { flag: 'wx' });
console.log(path.relative(process.cwd(), file));
