import { type AlertStory, severityRank } from './alertFact.ts';
import { joins, type Slot, slotOf } from './bundling.ts';
import { isNearEnough } from './isAbout.ts';
import type { Hours } from './quietHours.ts';
import type { Rule } from './rule.ts';
import { hasNews, type Item, sortItems } from './sortItems.ts';
import { type Telling, tellingsOf } from './tellingsOf.ts';

/** A message that a rule would have sent. */
export interface ReplayedMessage extends Slot {
  readonly targetId: number;
  readonly items: readonly {
    readonly alertId: number;
    readonly what: Telling['what'];
    readonly step: number;
  }[];
}

/**
 * The messages that `rule` would have sent between two moments, oldest first, by the steps that the live run takes. How many days
 * were left is not in the history, so a rule that asks for it is held against the days that are left now.
 *
 * @param hoursOf a target's hours; null where it takes messages at any time, such as a webhook
 */
export function replay(
  rule: Rule,
  stories: readonly AlertStory[],
  hoursOf: (targetId: number) => Hours | null,
  fromMs: number,
  toMs: number,
): ReplayedMessage[] {
  const past: Rule = { ...rule, sinceMs: fromMs };
  const byId = new Map(stories.map((story) => [story.alert.alertId, story]));
  const tellings = stories
    .flatMap((story) => {
      const nearFromMs = isNearEnough(rule.about, story.alert) ? 0 : null;
      return tellingsOf(past, story, { untilMs: toMs, made: new Set(), nearFromMs });
    })
    .sort((a, b) => a.dueMs - b.dueMs);

  const bundles = bundle(past, tellings, hoursOf);
  const told = new Set<string>();
  const messages: ReplayedMessage[] = [];
  for (const { slot, targetId, tellings: bundled } of bundles.sort((a, b) => a.slot.sendMs - b.slot.sendMs)) {
    if (slot.sendMs > toMs) continue;
    const items = bundled.map(
      (telling): Item => ({
        telling,
        changes: byId.get(telling.alertId)!.changes,
        toldBefore: told.has(`${targetId} ${telling.openingId}`),
      }),
    );
    const sorted = sortItems(items, slot.sendMs);
    if (!hasNews(sorted, slot.held)) continue;
    for (const { telling } of items) told.add(`${targetId} ${telling.openingId}`);
    const shown = Object.values(sorted).flat() as Item[];
    messages.push({ ...slot, targetId, items: shown.map(({ telling }) => telling).sort(worstFirst(byId)) });
  }
  return messages;
}

interface Bundle {
  readonly slot: Slot;
  readonly targetId: number;
  readonly tellings: Telling[];
}

function bundle(
  rule: Rule,
  tellings: readonly Telling[],
  hoursOf: (targetId: number) => Hours | null,
): Bundle[] {
  const bundles: Bundle[] = [];
  const newest = new Map<string, Bundle>();
  for (const telling of tellings) {
    const { targetId, dueMs } = telling;
    const slot = slotOf(hoursOf(targetId), rule.throughQuiet, dueMs);
    const key = `${targetId} ${slot.held}`;
    const waiting = newest.get(key);
    if (waiting && joins(waiting.slot, slot, dueMs)) waiting.tellings.push(telling);
    else {
      const made = { slot, targetId, tellings: [telling] };
      newest.set(key, made);
      bundles.push(made);
    }
  }
  return bundles;
}

function worstFirst(byId: ReadonlyMap<number, AlertStory>) {
  const rank = ({ alertId }: { alertId: number }) => severityRank(byId.get(alertId)!.alert.severity);
  return (a: { alertId: number }, b: { alertId: number }) => rank(b) - rank(a);
}
