import { spawnSync } from 'node:child_process';

/** Title of the tests that compare with R, saying why when they are skipped. */
export const R_MISSING =
  spawnSync('Rscript', ['--version']).status === 0 ? null : 'Rscript (Debian: r-base-core) is not installed';

/**
 * What an R script prints, as JSON.
 *
 * @throws Error with R's own words when the script fails
 */
export function runR<T>(args: readonly string[]): T {
  const { status, stdout, stderr } = spawnSync('Rscript', ['--vanilla', ...args], { encoding: 'utf8' });
  if (status !== 0) throw new Error(`R failed: ${stderr}`);
  return JSON.parse(stdout) as T;
}
