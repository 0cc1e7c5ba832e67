import { existsSync, readFileSync } from 'node:fs';

/** What Vitest's JSON reporter writes, as far as it is read here. */
interface Report {
  readonly success: boolean;
  readonly numPassedTests: number;
  readonly numFailedTests: number;
  readonly numPendingTests: number;
  readonly numTodoTests: number;
  readonly testResults: readonly {
    readonly name: string;
    readonly status: string;
    readonly assertionResults: readonly { readonly status: string; readonly fullName: string }[];
  }[];
}

const [failedSteps = '0', ...files] = process.argv.slice(2);
const reports = files.filter(existsSync).map((file) => JSON.parse(readFileSync(file, 'utf8')) as Report);
const sum = (count: (report: Report) => number) =>
  reports.reduce((total, report) => total + count(report), 0);

const passed = sum(({ numPassedTests }) => numPassedTests);
const failed = sum(({ numFailedTests }) => numFailedTests);
const skipped = sum(({ numPendingTests, numTodoTests }) => numPendingTests + numTodoTests);

for (const { name, assertionResults } of reports.flatMap(({ testResults }) => testResults)) {
  for (const { status, fullName } of assertionResults) {
    if (status !== 'passed') console.log(`${status}: ${name}: ${fullName}`);
  }
}
if (reports.length < files.length) console.log(`${files.length - reports.length} test runs left no report`);
if (skipped > 0) console.log(`${skipped} skipped: install what they need, or remove them`);
console.log(`${passed} passed, ${failed} failed`);

const isGood =
  failedSteps === '0' &&
  reports.length === files.length &&
  reports.every(({ success }) => success) &&
  passed > 0 &&
  failed === 0 &&
  skipped === 0;
process.exit(isGood ? 0 : 1);
