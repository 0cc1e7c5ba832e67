import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { reportDocument } from '../../../api/reports/document/reportDocument.ts';
import { PAPERS, reportPdf } from '../../../api/reports/render/pdf.ts';
import { makeReport } from '../../web/fixtures/report.ts';

const MISSING = spawnSync('pdftotext', ['-v']).error ? ' (skipped: no pdftotext here)' : '';

/** Text of each page, as a program that none of us wrote reads it. */
function pagesOf(pdf: Buffer): string[] {
  const folder = mkdtempSync(path.join(tmpdir(), 'report-'));
  const file = path.join(folder, 'report.pdf');
  writeFileSync(file, pdf);
  const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
  rmSync(folder, { recursive: true });
  return text.split('\f').slice(0, -1);
}

describe.skipIf(MISSING !== '')(`a report as PDF${MISSING}`, () => {
  test.each(PAPERS)('has title, hash and number on every %s page', async (paper) => {
    const document = reportDocument(makeReport());
    const pages = pagesOf(await reportPdf(document, paper));
    expect(pages.length).toBeGreaterThan(2);
    pages.forEach((page, i) => {
      expect(page).toContain(`SHA-256 ${document.hash}`);
      expect(page).toContain(`page ${i + 1} of ${pages.length}`);
    });
  });

  test('keeps signs and letters that the built-in fonts lack', async () => {
    const report = makeReport();
    const setUp = { ...report.setUp, site: 'Łódź Σ Юг − ≥ µ √ Ω ’' };
    const text = pagesOf(await reportPdf(reportDocument({ ...report, setUp }), 'a4')).join('');
    expect(text).toContain('Łódź Σ Юг − ≥ µ √ Ω ’');
    expect(text).toContain('−3.0');
  });

  test('says of every channel what the data says', async () => {
    const report = makeReport();
    const text = pagesOf(await reportPdf(reportDocument(report), 'a4')).join('');
    const rows = text
      .split('\n')
      .filter((line) => /256-QAM|64-QAM|Analogue/.test(line) && /17 to 23/.test(line));
    const channels = report.readings[0]!.channels;
    expect(rows.filter((row) => !/dBmV/.test(row))).toHaveLength(channels.length);
    expect(rows.some((row) => row.includes('not found'))).toBe(true);
  });
});
