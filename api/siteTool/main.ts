import { readOptions } from './options.ts';
import { runTool } from './runTool.ts';
import { EXIT_CODES, ToolError } from './toolError.ts';
import { USAGE } from './usage.ts';

const SOMETHING_MISSING = 1;

try {
  const options = readOptions(process.argv.slice(2), process.env);
  if (options === null) {
    console.log(USAGE);
  } else {
    const { lines, answer, sound } = await runTool(options, Date.now());
    console.log(options.json && answer !== null ? JSON.stringify(answer, null, 2) : lines.join('\n'));
    if (!sound) process.exitCode = SOMETHING_MISSING;
  }
} catch (error) {
  if (!(error instanceof ToolError)) throw error;
  console.error(`${error.message}\nwhat to do: ${error.action}`);
  process.exitCode = EXIT_CODES[error.kind];
}
