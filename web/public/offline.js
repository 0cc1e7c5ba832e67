/**
 * Keeps the pages of the product for a device without a network: the newest page and the files it names. Answers of the API are
 * none of its business; a day of visits keeps its own.
 */
const CACHE = 'levelkeep-pages';

self.addEventListener('install', (event) => {
  event.waitUntil(keepPage().then(() => self.skipWaiting()));
});

self.addEventListener('activate', (event) => {
  event.waitUntil(self.clients.claim());
});

self.addEventListener('fetch', (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== 'GET' || origin !== self.location.origin) return;
  if (request.mode === 'navigate') event.respondWith(newestPage(event));
  else if (pathname.startsWith('/assets/') || pathname === '/mark.svg') event.respondWith(keptFile(request));
});

/** From the network while there is one, and kept when it names other files than before. */
async function newestPage(event) {
  try {
    const page = await fetch(event.request);
    if (page.ok && page.headers.get('content-type')?.startsWith('text/html')) event.waitUntil(keepPage());
    return page;
  } catch {
    return (await caches.match('/')) ?? Response.error();
  }
}

/** Names of files change with their content, so a kept one is never old. */
async function keptFile(request) {
  return (await caches.match(request)) ?? fetch(request);
}

/** The page, the files it names, and no others. */
async function keepPage() {
  const cache = await caches.open(CACHE);
  const page = await fetch('/', { cache: 'no-store' });
  if (!page.ok) return;
  const text = await page.clone().text();
  const files = [...text.matchAll(/(?:src|href)="(\/(?:assets\/[^"]+|mark\.svg))"/g)].map(([, file]) => file);
  const missing = [];
  for (const file of files) if (!(await cache.match(file))) missing.push(file);
  await cache.addAll(missing);
  await cache.put('/', page);
  for (const { url } of await cache.keys()) {
    const { pathname } = new URL(url);
    if (pathname !== '/' && !files.includes(pathname)) await cache.delete(url);
  }
}
