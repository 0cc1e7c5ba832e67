import path from 'node:path';
import { serveStatic } from '@hono/node-server/serve-static';
import { Hono } from 'hono';

const YEAR_S = 31_536_000;

/** The built web pages in `folder`. Addresses that name no file get the page, which reads the address itself. */
export function webPages(folder: string): Hono {
  const pages = new Hono();
  pages.use(
    '/assets/*',
    serveStatic({
      root: folder,
      onFound: (_, c) => c.header('Cache-Control', `public, max-age=${YEAR_S}, immutable`),
    }),
  );
  pages.get('/assets/*', (c) => c.notFound());
  pages.use('*', serveStatic({ root: folder, onFound: (_, c) => c.header('Cache-Control', 'no-cache') }));
  pages.get(
    '*',
    serveStatic({
      path: path.join(folder, 'index.html'),
      onFound: (_, c) => c.header('Cache-Control', 'no-cache'),
    }),
  );
  return pages;
}
