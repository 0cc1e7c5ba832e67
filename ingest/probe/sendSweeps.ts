import { z } from 'zod';
import type { ContractSweep } from './contractSweep.ts';
import { excerpt, type IngestServer, ingestRequest, notOurServer, parsed } from './ingestRequest.ts';

const answerSchema = z.object({
  accepted: z.number(),
  duplicates: z.number(),
  rejected: z.array(z.object({ index: z.number(), path: z.string(), reason: z.string() })),
});

/** What the server did with each sweep; `rejected` names the others by their place in the list. */
export type IngestAnswer = z.infer<typeof answerSchema>;

/**
 * Sends sweeps once and returns the server's answer, which comes after they are stored. Throws a
 * ProbeError: `unavailable` when trying again later may help, `refused` when it can't.
 */
export async function sendSweeps(
  server: IngestServer,
  sweeps: readonly ContractSweep[],
  signal: AbortSignal,
): Promise<IngestAnswer> {
  const { response, body } = await ingestRequest(server, 'ingest/sweeps', { sweeps }, signal);
  const answer = answerSchema.safeParse(parsed(body));
  if (!answer.success) throw notOurServer(server, response, `its answer was ${excerpt(body)}`);
  return answer.data;
}
