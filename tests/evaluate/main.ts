/** Evaluates the trend engine on a simulated fleet: `npm run evaluate -- --help` lists the options. */
import { evaluate } from './evaluate.ts';
import { type EvaluateOptions, readOptions, USAGE } from './options.ts';
import { report } from './report.ts';

const args = process.argv.slice(2);
if (args.includes('--help')) {
  console.log(USAGE);
} else {
  await run(optionsOrUsage(args));
}

async function run(options: EvaluateOptions): Promise<void> {
  const startedMs = performance.now();
  const evaluation = await evaluate(options, (done, of) => {
    const seconds = Math.round((performance.now() - startedMs) / 1000);
    process.stderr.write(`\r${done} of ${of} sites, ${seconds} s`);
  });
  process.stderr.write('\n');
  console.log(report(evaluation, options));
}

function optionsOrUsage(given: readonly string[]): EvaluateOptions {
  try {
    return readOptions(given);
  } catch (error) {
    console.error(`${(error as Error).message}\n\n${USAGE}`);
    process.exit(2);
  }
}
