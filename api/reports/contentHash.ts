import { createHash } from 'node:crypto';
import { canonicalJson } from './canonicalJson.ts';
import { PARTS, type Part, type ReportData } from './reportData.ts';

/** SHA-256 over the canonical JSON of all that a report says, in hexadecimal. */
export function contentHash(report: ReportData): string {
  return hashOf(report);
}

/** The same for each part alone: where a later report differs, these say in what. */
export function partHashes(report: ReportData): { part: Part; hash: string }[] {
  return PARTS.map((part) => ({ part, hash: hashOf(report[part]) }));
}

function hashOf(value: unknown): string {
  return createHash('sha256').update(canonicalJson(value), 'utf8').digest('hex');
}
