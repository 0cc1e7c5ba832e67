import { BadRequest } from '../contract/parseBody.ts';

/** The bytes of a request as they were sent, read no further than the limit. Throws a {@link BadRequest}. */
export async function readBody(request: Request, maxBytes: number): Promise<Buffer> {
  const tooLarge = new BadRequest(
    413,
    `the body has more than ${maxBytes} bytes`,
    'send fewer sweeps a request',
  );
  if (Number(request.headers.get('content-length')) > maxBytes) throw tooLarge;

  const chunks: Uint8Array[] = [];
  let size = 0;
  try {
    for await (const chunk of request.body ?? []) {
      size += chunk.length;
      if (size > maxBytes) throw tooLarge;
      chunks.push(chunk);
    }
  } catch (cause) {
    if (cause === tooLarge) throw cause;
    throw new BadRequest(400, 'the body was cut off', 'send the request again, whole', { cause });
  }
  return Buffer.concat(chunks);
}
