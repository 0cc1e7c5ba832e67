import { useState } from 'preact/hooks';
import type { NotifyView, RuleView } from '../../../../api/schemas/notify.ts';
import { del, put } from '../../../client.ts';
import { ConfirmButton } from '../../../parts/confirmButton.tsx';
import { Failure } from '../../../parts/notice.tsx';
import { paths } from '../../../paths.ts';
import { useSubmit } from '../../../useSubmit.ts';
import { draftOf, ruleOf } from './ruleDraft.ts';
import { RuleForm } from './ruleForm.tsx';

/** Who is told about which alerts, each rule as a sentence. */
export function Rules({ view, onChanged }: { view: NotifyView; onChanged: () => void }) {
  const [changing, setChanging] = useState<number | 'new' | null>(null);
  const { run, error } = useSubmit();
  const done = () => {
    setChanging(null);
    onChanged();
  };
  const pause = (rule: RuleView) =>
    run(() =>
      put(paths.notifyRule(rule.ruleId), { ...ruleOf(draftOf(rule)), enabled: !rule.enabled }).then(
        onChanged,
      ),
    );
  return (
    <section class="panel spaced" aria-labelledby="rules-title">
      <h2 id="rules-title">Rules</h2>
      {error && <Failure error={error} />}
      {view.rules.length === 0 && changing === null && (
        <p class="quiet">
          Nobody is told about alerts yet.{' '}
          {view.targets.length === 0
            ? 'Add somebody who can be told below, then a rule.'
            : 'A rule says who is told about which alerts.'}
        </p>
      )}
      <ul class="rows">
        {view.rules.map((rule) => (
          <li key={rule.ruleId}>
            {changing === rule.ruleId ? (
              <RuleForm view={view} initial={rule} onDone={done} onCancel={() => setChanging(null)} />
            ) : (
              <>
                <strong>
                  {rule.name}
                  {!rule.enabled && ' (paused)'}
                </strong>
                <span>{rule.sentence}</span>
                <span class="actions">
                  <button
                    type="button"
                    class="small"
                    aria-label={`Change ${rule.name}`}
                    onClick={() => setChanging(rule.ruleId)}
                  >
                    Change
                  </button>
                  <button
                    type="button"
                    class="small"
                    aria-label={`${rule.enabled ? 'Pause' : 'Go on with'} ${rule.name}`}
                    onClick={() => pause(rule)}
                  >
                    {rule.enabled ? 'Pause' : 'Go on'}
                  </button>
                  <ConfirmButton
                    does="Remove"
                    question={`Remove “${rule.name}”?`}
                    onConfirm={() => run(() => del(paths.notifyRule(rule.ruleId)).then(onChanged))}
                  />
                </span>
              </>
            )}
          </li>
        ))}
      </ul>
      {changing === 'new' ? (
        <RuleForm view={view} onDone={done} onCancel={() => setChanging(null)} />
      ) : (
        view.targets.length > 0 && (
          <div class="actions">
            <button type="button" class="primary" onClick={() => setChanging('new')}>
              Add a rule
            </button>
          </div>
        )
      )}
    </section>
  );
}
