import type { AgentView } from '../../../api/schemas/silence.ts';
import { formatAgo, formatMoment, plural } from '../../format.ts';

/** The boxes that read and send for a site, as each reported last. */
export function AgentList({ agents, timeZone }: { agents: readonly AgentView[]; timeZone: string }) {
  if (agents.length === 0) return null;
  return (
    <section class="panel" aria-labelledby="agents-title">
      <h2 id="agents-title">Agents on site</h2>
      <ul class="rows">
        {agents.map((agent) => (
          <Agent key={agent.agent} agent={agent} timeZone={timeZone} />
        ))}
      </ul>
    </section>
  );
}

function Agent({ agent, timeZone }: { agent: AgentView; timeZone: string }) {
  const failing = agent.probes.filter(({ error }) => error !== null);
  return (
    <li>
      <span>
        <strong>{agent.agent}</strong>{' '}
        {agent.isSilent ? (
          <span class="abnormal">
            <span aria-hidden="true">◆ </span>silent: reported last on{' '}
            {formatMoment(agent.receivedAt, timeZone)}
          </span>
        ) : (
          <>reported {formatAgo(agent.receivedAt, Date.now())}</>
        )}
        , {agent.waiting === 0 ? 'nothing waiting' : `${plural(agent.waiting, 'sweep')} waiting`}
        {agent.oldestWaitingAt && `, the oldest of ${formatMoment(agent.oldestWaitingAt, timeZone)}`}.
      </span>
      <span class="quiet">
        Reads {agent.probes.map(({ point }) => point).join(', ') || 'nothing'}. Version {agent.version}.
      </span>
      {failing.map(({ point, error }) => (
        <span key={point}>
          <span class="abnormal">
            <span aria-hidden="true">◆ </span>Can’t read {point}:
          </span>{' '}
          {error}
        </span>
      ))}
      {agent.notes.map(({ at, text }) => (
        <span key={text}>
          {at === null ? 'Now' : formatMoment(at, timeZone)}: {text}.
        </span>
      ))}
    </li>
  );
}
