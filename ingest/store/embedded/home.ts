import { execFileSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { existsSync, statSync } from 'node:fs';
import { chmod, cp, mkdir, mkdtemp, readFile, rename, rm } from 'node:fs/promises';
import path from 'node:path';

/** Where PostgreSQL's files lie, and as whom it runs. */
export interface Home {
  readonly folder: string;
  /** Holds `bin/pg_ctl` and the libraries beside it. */
  readonly binaries: string;
  /** Empty unless we are root: then the account that PostgreSQL runs as instead. */
  readonly account: { readonly uid?: number; readonly gid?: number };
}

const OTHERS_MAY_PASS = 0o001;
const ROOT_HOME = '/var/lib/levelkeep';

/**
 * Makes the folder ready. PostgreSQL refuses to run as root; started by root, it runs as "postgres" or "nobody", and
 * everything on the way to its files must let that account pass. Where it doesn't (a checkout under /root), files and
 * programs live under /var/lib/levelkeep instead.
 */
export async function prepareHome(wanted: string, installed: string): Promise<Home> {
  const folder = path.resolve(wanted);
  if (process.getuid?.() !== 0) {
    await mkdir(folder, { recursive: true, mode: 0o700 });
    return { folder, binaries: installed, account: {} };
  }

  const home = othersMayPass(folder) ? folder : path.join(ROOT_HOME, shortName(folder));
  await mkdir(home, { recursive: true });
  await chmod(home, 0o711);
  return {
    folder: home,
    binaries: othersMayPass(installed) ? installed : await copied(installed),
    account: unprivilegedAccount(),
  };
}

/** A copy of the programs that others may run: made once for each version, whole or not at all. */
async function copied(installed: string): Promise<string> {
  const { version } = JSON.parse(await readFile(path.join(installed, '../package.json'), 'utf8'));
  const target = path.join(ROOT_HOME, `programs-${version}`);
  if (existsSync(target)) return target;
  await mkdir(ROOT_HOME, { recursive: true });
  const fresh = await mkdtemp(`${target}.`);
  await chmod(fresh, 0o711);
  await cp(installed, fresh, { recursive: true, verbatimSymlinks: true });
  await rename(fresh, target).catch(async (error) => {
    // Another process was first.
    await rm(fresh, { recursive: true });
    if (!existsSync(target)) throw error;
  });
  return target;
}

function shortName(folder: string): string {
  return `${path.basename(folder)}-${createHash('sha256').update(folder).digest('hex').slice(0, 8)}`;
}

/** Whether every folder that exists on the way may be passed by accounts that own none of them. */
function othersMayPass(target: string): boolean {
  for (let at = target; ; at = path.dirname(at)) {
    if (existsSync(at) && at !== target && (statSync(at).mode & OTHERS_MAY_PASS) === 0) return false;
    if (at === path.dirname(at)) return true;
  }
}

function unprivilegedAccount(): { uid: number; gid: number } {
  for (const name of ['postgres', 'nobody']) {
    try {
      const id = (flag: string) =>
        Number(execFileSync('id', [flag, name], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] }));
      return { uid: id('-u'), gid: id('-g') };
    } catch {
      // This account does not exist here: try the next.
    }
  }
  throw new Error(
    'PostgreSQL does not run as root and there is no account "postgres" or "nobody": start Levelkeep as another user, or set DATABASE_URL',
  );
}
