import { useEffect, useRef, useState } from 'preact/hooks';
import type { Verdict } from '../../../api/schemas/common.ts';
import type { FleetPage } from '../../../api/schemas/fleet.ts';
import { formatCount } from '../../format.ts';
import { VerdictMark } from '../../parts/verdictMark.tsx';
import { VERDICTS } from '../../words.ts';
import type { FleetQuestion } from './useFleetPages.ts';

interface FleetFiltersProps {
  question: FleetQuestion;
  page: FleetPage | null;
  onAsk: (question: FleetQuestion) => void;
}

const TYPING_PAUSE_MS = 180;

export function FleetFilters({ question, page, onAsk }: FleetFiltersProps) {
  const matching = VERDICTS.reduce((sum, verdict) => sum + (page?.counts[verdict] ?? 0), 0);
  const choose = (verdict: Verdict | null) => onAsk({ ...question, verdict });
  return (
    <div class="fleet-filters no-print">
      <fieldset class="filter-buttons">
        <legend class="sr-only">Show sites by verdict</legend>
        <button type="button" aria-pressed={question.verdict === null} onClick={() => choose(null)}>
          All <span class="count">{formatCount(matching)}</span>
        </button>
        {VERDICTS.map((verdict) => (
          <button
            key={verdict}
            type="button"
            aria-pressed={question.verdict === verdict}
            onClick={() => choose(question.verdict === verdict ? null : verdict)}
          >
            <VerdictMark verdict={verdict} />{' '}
            <span class="count">{formatCount(page?.counts[verdict] ?? 0)}</span>
          </button>
        ))}
      </fieldset>
      <FleetSearch
        value={question.search}
        placeholder="site, town or provider"
        onSearch={(search) => onAsk({ ...question, search })}
      />
    </div>
  );
}

interface FleetSearchProps {
  value: string;
  placeholder: string;
  onSearch: (search: string) => void;
}

/** Asks as one types; "/" leads there. */
export function FleetSearch({ value, placeholder, onSearch }: FleetSearchProps) {
  const input = useRef<HTMLInputElement>(null);
  const [text, setText] = useState(value);
  const asked = useRef(value);

  // What comes back of one's own asking must not undo what was typed since.
  useEffect(() => {
    if (value !== asked.current) setText(value);
    asked.current = value;
  }, [value]);
  useEffect(() => {
    if (text === value) return;
    const timer = setTimeout(() => {
      asked.current = text;
      onSearch(text);
    }, TYPING_PAUSE_MS);
    return () => clearTimeout(timer);
  }, [text, value, onSearch]);
  useEffect(() => {
    const focusOnSlash = (event: KeyboardEvent) => {
      const typing = (event.target as HTMLElement).closest('input, textarea, select');
      if (event.key !== '/' || typing) return;
      event.preventDefault();
      input.current?.focus();
      input.current?.select();
    };
    addEventListener('keydown', focusOnSlash);
    return () => removeEventListener('keydown', focusOnSlash);
  }, []);

  return (
    <label class="fleet-search">
      <span>
        Find <kbd>/</kbd>
      </span>
      <input
        ref={input}
        type="search"
        maxLength={200}
        placeholder={placeholder}
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
      />
    </label>
  );
}
