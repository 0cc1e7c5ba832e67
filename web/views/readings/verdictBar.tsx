import type { TypedVerdict } from '../../../api/schemas/typedReadings.ts';
import { TypedMark } from './typedWords.tsx';

const PARTS = [
  ['level', 'Level'],
  ['tilt', 'Tilt'],
  ['mer', 'MER, CNR'],
] as const;

/** Level, tilt and MER at a glance; stays in sight while somebody types. */
export function VerdictBar({ verdict }: { verdict: TypedVerdict | null }) {
  return (
    <dl class="verdict-bar" aria-label="What the figures say so far">
      {PARTS.map(([part, title]) => (
        <div key={part}>
          <dt>{title}</dt>
          <dd>
            <span class="verdict-value">{verdict?.[part].value ?? '–'}</span>
            <TypedMark verdict={verdict?.[part].verdict ?? 'unknown'} />
          </dd>
        </div>
      ))}
    </dl>
  );
}

/** The same in whole sentences. */
export function VerdictSentences({ verdict }: { verdict: TypedVerdict }) {
  return (
    <ul class="verdict-sentences">
      {PARTS.map(([part, title]) => (
        <li key={part}>
          <strong>{title}:</strong> <TypedMark verdict={verdict[part].verdict} />
          {verdict[part].value !== '–' && `, ${verdict[part].value}`}: {verdict[part].sentence}.
        </li>
      ))}
    </ul>
  );
}
