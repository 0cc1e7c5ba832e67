import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { AgentConfigView } from '../../../../api/schemas/readingWays.ts';
import { Link } from '../../../parts/link.tsx';
import { Failure, Waiting } from '../../../parts/notice.tsx';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { paths } from '../../../paths.ts';
import { saveFile } from '../../../saveFile.ts';
import { useLoad } from '../../../useLoad.ts';
import { guideAddress } from './steps.ts';

/** The agent's config, ready to be taken along, and what to type on the box. */
export function AgentPanel({ siteId }: { siteId: number }) {
  const { data, error, reload } = useLoad<AgentConfigView>(paths.agentConfig(siteId));
  return (
    <section class="panel" aria-labelledby="agent-title">
      <h3 id="agent-title">The agent on site</h3>
      {error && <Failure error={error} onRetry={reload} />}
      {!data && !error && <Waiting what="the config" />}
      {data?.text === null && (
        <p>
          No point is read by an agent.{' '}
          <Link href={guideAddress(siteId, 'ways')}>Decide how readings come.</Link>
        </p>
      )}
      {data && data.text !== null && <AgentConfig view={data} text={data.text} />}
      {data && data.curl !== null && (
        <>
          <h4>A program of your own</h4>
          <p>It posts sweeps like this one; LEVELKEEP_KEY holds the site key.</p>
          <CopyText label="Command that posts a sweep" text={data.curl} />
        </>
      )}
    </section>
  );
}

function AgentConfig({ view, text }: { view: AgentConfigView; text: string }) {
  const first = (JSON.parse(text) as { probes: { point: string }[] }).probes[0]!.point;
  const commands = [
    '(umask 077; cat > site.key)   # paste the site key, Enter, Ctrl+D',
    'npm run agent -- --config agent.json --check',
    `npm run agent -- --config agent.json --read-now '${first}'`,
    'npm run agent -- --config agent.json',
  ].join('\n');
  return (
    <>
      <p>It reads {view.reads.join(', ')}. Save this as agent.json on the box:</p>
      <CopyText label="agent.json" text={text}>
        <button type="button" class="small" onClick={() => saveFile('agent.json', text, 'application/json')}>
          Save as agent.json
        </button>
      </CopyText>
      <p>Then, in the folder of the program, with agent.json and site.key beside each other:</p>
      <CopyText label="Commands on the box" text={commands} />
      <p class="quiet">
        The second line checks the config, the third takes one reading at once, the last one goes on reading.
        Cupboards, ladders and line-powered gear: local codes and licensed practice decide.
      </p>
      {view.notes.length > 0 && (
        <ul class="step-advice">
          {view.notes.map((note) => (
            <li key={note}>{note}</li>
          ))}
        </ul>
      )}
    </>
  );
}

/** Text to take along, in one click. */
function CopyText({ label, text, children }: { label: string; text: string; children?: ComponentChildren }) {
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    await navigator.clipboard.writeText(text);
    setCopied(true);
  };
  return (
    <div class="copy-text">
      <ScrollRegion label={label}>
        <pre>{text}</pre>
      </ScrollRegion>
      <div class="actions">
        <button type="button" class="small" aria-label={`Copy ${label}`} onClick={copy}>
          {copied ? 'Copied' : 'Copy'}
        </button>
        {children}
      </div>
    </div>
  );
}
