import type { z } from 'zod';
import type { AlertPage, AlertStateWord } from '../../../api/schemas/alerts.ts';
import type { ProvidersSchema } from '../../../api/schemas/providers.ts';
import { ChoiceField } from '../../parts/field.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { ALERT_STATE_WORD, SEVERITY_WORD, SIDE_WORD } from '../../words.ts';

/** What the list is narrowed to; empty where it isn't. */
export interface AlertQuestion {
  readonly state: string;
  readonly severity: string;
  readonly side: string;
  readonly providerId: string;
}

export function questionFrom(query: URLSearchParams): AlertQuestion {
  const known = (name: string, words: object) => {
    const asked = query.get(name) ?? '';
    return Object.hasOwn(words, asked) ? asked : '';
  };
  const provider = query.get('providerId') ?? '';
  return {
    state: known('state', ALERT_STATE_WORD),
    severity: known('severity', SEVERITY_WORD),
    side: known('side', SIDE_WORD),
    providerId: /^[1-9]\d{0,9}$/.test(provider) ? provider : '',
  };
}

export function isNarrowed(question: AlertQuestion): boolean {
  return Object.values(question).some((value) => value !== '');
}

interface AlertFiltersProps {
  question: AlertQuestion;
  page: AlertPage | null;
  onAsk: (question: AlertQuestion) => void;
}

const TOLD: readonly AlertStateWord[] = [
  'active-unacknowledged',
  'active-acknowledged',
  'returned-unacknowledged',
];

export function AlertFilters({ question, page, onAsk }: AlertFiltersProps) {
  const providers = useLoad<z.infer<typeof ProvidersSchema>>(paths.providers);
  const there = (state: AlertStateWord) => page?.states[state] ?? 0;
  const told = TOLD.reduce((sum, state) => sum + there(state), 0);
  const states = (Object.keys(ALERT_STATE_WORD) as AlertStateWord[]).map(
    (state) => [state, `${ALERT_STATE_WORD[state]} (${there(state)})`] as const,
  );
  return (
    <div class="alert-filters no-print">
      <ChoiceField
        label="State"
        value={question.state}
        onValue={(state) => onAsk({ ...question, state })}
        options={[['', `To deal with (${told})`], ...states]}
      />
      <ChoiceField
        label="Severity"
        value={question.severity}
        onValue={(severity) => onAsk({ ...question, severity })}
        options={[['', 'All'], ...Object.entries(SEVERITY_WORD)]}
      />
      <ChoiceField
        label="Whose side"
        value={question.side}
        onValue={(side) => onAsk({ ...question, side })}
        options={[['', 'All'], ...Object.entries(SIDE_WORD)]}
      />
      <ChoiceField
        label="Provider"
        value={question.providerId}
        onValue={(providerId) => onAsk({ ...question, providerId })}
        options={[
          ['', 'All'],
          ...(providers.data?.providers ?? []).map(
            ({ providerId, name }) => [String(providerId), name] as const,
          ),
        ]}
      />
    </div>
  );
}
