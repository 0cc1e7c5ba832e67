import { constants, zstdCompressSync, zstdDecompressSync } from 'node:zlib';
import type { SiteTrend } from '../trend/siteTrend.ts';

/** The quickest level: the higher ones save little here. */
const params = { [constants.ZSTD_c_compressionLevel]: 1 };

/** A site's trend as checkpoints store it: JSON, packed with Zstandard (RFC 8878). */
export function packTrend(trend: SiteTrend): Buffer {
  return zstdCompressSync(JSON.stringify(trend), { params });
}

export function unpackTrend(packed: Buffer): SiteTrend {
  return JSON.parse(zstdDecompressSync(packed).toString());
}
