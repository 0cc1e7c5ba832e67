import { defineConfig } from 'vitest/config';

/**
 * Three projects: `unit` needs nothing, `database` starts one PostgreSQL for the whole run,
 * `browser` needs Chromium as well. A file says which it is by its name: *.db.test.ts, *.browser.test.ts.
 */
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.{ts,tsx}'],
          exclude: ['**/*.db.test.ts', '**/*.browser.test.ts'],
          testTimeout: 60_000,
        },
      },
      {
        test: {
          name: 'database',
          include: ['tests/**/*.db.test.ts'],
          globalSetup: 'tests/support/postgres.ts',
          testTimeout: 60_000,
          hookTimeout: 60_000,
          maxWorkers: 2,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/**/*.browser.test.ts'],
          globalSetup: 'tests/support/postgres.ts',
          testTimeout: 120_000,
          hookTimeout: 120_000,
          maxWorkers: 1,
        },
      },
    ],
  },
});
