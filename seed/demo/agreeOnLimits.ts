import { chooseForFleet } from '../../api/setup/limits.ts';
import type { Db } from '../../ingest/store/database.ts';
import { INSTALLER } from '../fleet/roster.ts';

const AGREED = {
  setId: 'scte-40',
  changes: (['qam64', 'qam256'] as const).map(
    (modulation) => ({ quantity: 'level', modulation, min: 3 }) as const,
  ),
  reason: 'the service agreements of these buildings ask for 3 dBmV at every outlet',
};

/** The company holds every outlet to more than a terminal's bare minimum. Chosen once. */
export async function agreeOnLimits(db: Db): Promise<void> {
  const chosen = await db
    .selectFrom('fleet_limit_choice')
    .select('choice_id')
    .where('kind', '=', 'outlet')
    .execute();
  if (chosen.length === 0) await chooseForFleet(db, 'outlet', AGREED, INSTALLER);
}
