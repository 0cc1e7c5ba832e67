import { mkdir, mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { webPages } from '../../api/webPages.ts';

let folder = '';
beforeAll(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'levelkeep-pages-'));
  await mkdir(path.join(folder, 'assets'));
  await writeFile(path.join(folder, 'index.html'), '<title>Levelkeep</title>');
  await writeFile(path.join(folder, 'mark.svg'), '<svg/>');
  await writeFile(path.join(folder, 'assets/main-4f1c.js'), 'export {}');
  await writeFile(path.join(folder, '../levelkeep-outside.txt'), 'secret');
});
afterAll(async () => {
  await rm(path.join(folder, '../levelkeep-outside.txt'));
  await rm(folder, { recursive: true });
});

const get = (address: string) => webPages(folder).request(address);

describe('the web pages', () => {
  test.each(['/', '/sites/12/points/3', '/welcome'])(
    'answer %s with the page, asked for anew each time',
    async (address) => {
      const answer = await get(address);
      expect(await answer.text()).toContain('<title>Levelkeep');
      expect(answer.headers.get('content-type')).toMatch(/^text\/html/);
      expect(answer.headers.get('cache-control')).toBe('no-cache');
    },
  );

  test('let browsers keep files whose name changes with their content', async () => {
    const answer = await get('/assets/main-4f1c.js');
    expect(answer.headers.get('content-type')).toMatch(/javascript/);
    expect(answer.headers.get('cache-control')).toContain('immutable');
  });

  test('answer a script of an older build with 404 and not with the page', async () => {
    expect((await get('/assets/main-0000.js')).status).toBe(404);
  });

  test.each([
    '/../levelkeep-outside.txt',
    '/%2e%2e/levelkeep-outside.txt',
    '/..%2flevelkeep-outside.txt',
    '/assets/..%2f..%2flevelkeep-outside.txt',
  ])('give no file outside their folder: %s', async (address) => {
    expect(await (await get(address)).text()).not.toContain('secret');
  });
});
