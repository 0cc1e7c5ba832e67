import path from 'node:path';
import { serveStatic } from '@hono/node-server/serve-static';
import { Hono, type MiddlewareHandler } from 'hono';
import { compress } from 'hono/compress';

const YEAR_S = 31_536_000;

/** The built web pages in `folder`. Addresses that name no file get the page, which reads the address itself. */
export function webPages(folder: string): Hono {
  const pages = new Hono();
  pages.use(compress());
  pages.use('/assets/*', keptFor(`public, max-age=${YEAR_S}, immutable`), serveStatic({ root: folder }));
  pages.get('/assets/*', (c) => c.notFound());
  pages.use('*', keptFor('no-cache'), serveStatic({ root: folder }));
  pages.get('*', serveStatic({ path: path.join(folder, 'index.html') }));
  return pages;
}

/** How long browsers keep a file: the names under assets change with their content, other names don't. */
function keptFor(policy: string): MiddlewareHandler {
  return async (c, next) => {
    await next();
    if (c.res.ok) c.header('Cache-Control', policy);
  };
}
