import type { CauseView } from '../../../api/schemas/cause.ts';
import { formatShare } from '../../format.ts';
import { CautionItems } from '../../parts/cautions.tsx';

interface CausesProps {
  /** Most likely first. */
  causes: readonly CauseView[];
}

/** The likeliest cause with all that helps to find it, the others in a line each. */
export function Causes({ causes: [first, ...others] }: CausesProps) {
  if (!first) return null;
  return (
    <div class="causes">
      <h3>
        {first.cause === 'not-sure' ? 'Cause: not sure' : `Probable cause: ${first.title}`}{' '}
        <span class="quiet">{formatShare(first.confidence)}</span>
      </h3>
      <dl>
        <Listed term="Speaks for it" items={first.evidence} />
        <Listed term="Check first" items={first.check} inOrder />
        <Listed term="Bring" items={first.bring} />
        {first.cautions.length > 0 && (
          <>
            <dt>Take care</dt>
            <dd>
              <ul>
                <CautionItems ids={first.cautions} />
              </ul>
            </dd>
          </>
        )}
        {others.length > 0 && <Listed term="Or else" items={others.map(asLine)} />}
      </dl>
    </div>
  );
}

/** Every cause in a line, for findings that aren't acted on first. */
export function CauseLines({ causes }: CausesProps) {
  return (
    <ul class="cause-lines">
      {causes.map((cause) => (
        <li key={cause.cause}>{asLine(cause)}</li>
      ))}
    </ul>
  );
}

function asLine({ cause, title, confidence }: CauseView): string {
  return `${cause === 'not-sure' ? 'Something else' : title}, ${formatShare(confidence)}`;
}

function Listed({ term, items, inOrder }: { term: string; items: readonly string[]; inOrder?: boolean }) {
  const lines = items.map((item) => <li key={item}>{item}</li>);
  return (
    <>
      <dt>{term}</dt>
      <dd>{inOrder ? <ol>{lines}</ol> : <ul>{lines}</ul>}</dd>
    </>
  );
}
