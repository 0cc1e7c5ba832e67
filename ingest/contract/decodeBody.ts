import { promisify } from 'node:util';
import { gunzip, zstdDecompress } from 'node:zlib';
import type { IngestLimits } from './limits.ts';
import { BadRequest } from './parseBody.ts';

const decoders = { gzip: promisify(gunzip), zstd: promisify(zstdDecompress) };

/**
 * The bytes behind a Content-Encoding. Decompression stops at the limit, so that a small body that unfolds without end
 * costs no more than that. Throws a {@link BadRequest}.
 */
export async function decodeBody(
  bytes: Buffer,
  encoding: string | undefined,
  limits: IngestLimits,
): Promise<Buffer> {
  const name = (encoding ?? 'identity').trim().toLowerCase();
  if (name === 'identity' || name === '') return bytes;
  if (name !== 'gzip' && name !== 'zstd') {
    throw new BadRequest(415, 'Content-Encoding is not known here', 'send plain JSON, gzip or zstd');
  }

  try {
    return await decoders[name](bytes, { maxOutputLength: limits.maxDecodedBytes });
  } catch (error) {
    if (error instanceof RangeError) {
      throw new BadRequest(
        413,
        `the body unfolds to more than ${limits.maxDecodedBytes} bytes`,
        'send fewer sweeps a request',
      );
    }
    throw new BadRequest(
      400,
      `the body is not whole ${name}`,
      'send it again, whole, or without compression',
    );
  }
}
