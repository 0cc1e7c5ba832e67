import type { BaselineProposalView } from '../../../../api/schemas/baseline.ts';
import { formatChange, formatDay, formatMhz, formatNumber, plural } from '../../../format.ts';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { MODULATION_WORD } from '../../../words.ts';
import { BreachList } from '../../site/breachList.tsx';
import { OverdueMark } from '../../site/overdueMark.tsx';

interface ProposalProps {
  proposal: BaselineProposalView;
  timeZone: string;
}

/** What would become the reference, beside the one now in force, and what speaks against it. */
export function Proposal({ proposal, timeZone }: ProposalProps) {
  const { current } = proposal;
  const facts: readonly (readonly [string, number | null, number | null | undefined, string])[] = [
    ['Level at mid band', proposal.levelDbmv, current?.levelDbmv, 'dBmV'],
    ['Tilt', proposal.tiltDb, current?.tiltDb, 'dB'],
    ['Flatness', proposal.flatnessDb, current?.flatnessDb, 'dB'],
    ['Worst MER margin', proposal.worstMerMarginDb, current?.worstMerMarginDb, 'dB'],
    ['Air', proposal.ambientC, current?.ambientC, '°C'],
  ];
  return (
    <>
      <section class="panel" aria-labelledby="proposal-title">
        <h2 id="proposal-title">What would be accepted</h2>
        <p>
          Medians of {plural(proposal.sweeps, 'sweep')} by {proposal.instruments.join(', ')}, from{' '}
          {formatDay(proposal.fromAt, timeZone)} to {formatDay(proposal.toAt, timeZone)}. Held against:{' '}
          {proposal.limitSet.name} <span class="quiet">({proposal.limitSet.source})</span>.
        </p>
        {proposal.instruments.length > 1 && (
          <p>
            More than one instrument is in this window. Two meters may differ by 2 dB (common practice, no
            source): a window with one is the better reference.
          </p>
        )}
        {proposal.overdueInstruments.map((instrument) => (
          <p key={instrument.name}>
            <OverdueMark {...instrument} timeZone={timeZone} />: a reference by it is as doubtful as its
            readings.
          </p>
        ))}
        {proposal.maintenanceSweeps > 0 && (
          <p>
            <strong>{plural(proposal.maintenanceSweeps, 'sweep')} of this window</strong> were taken while
            people worked on the plant. A window without any is the better reference.
          </p>
        )}
        <dl class="facts">
          {facts.map(([name, value, before, unit]) => (
            <div key={name}>
              <dt>{name}</dt>
              <dd>
                {formatNumber(value)} {unit}
                {before !== undefined && before !== null && value !== null && (
                  <span class="quiet">
                    {' '}
                    ({formatChange(value - before)} against version {current?.version})
                  </span>
                )}
              </dd>
            </div>
          ))}
        </dl>
        {proposal.notLookedFor.length > 0 && (
          <p>
            <strong>Never looked for in this window:</strong> RF {proposal.notLookedFor.join(', ')}. They will
            have no baseline.
          </p>
        )}
      </section>
      {proposal.outside.length > 0 && (
        <BreachList breaches={proposal.outside} title="Outside limits in this window" />
      )}
      <ProposalChannels proposal={proposal} />
    </>
  );
}

function ProposalChannels({ proposal }: { proposal: BaselineProposalView }) {
  return (
    <details class="panel">
      <summary>Channel by channel ({proposal.channels.length})</summary>
      <ScrollRegion label="Medians channel by channel">
        <table>
          <thead>
            <tr>
              <th>RF channel</th>
              <th class="figure">MHz</th>
              <th>Modulation</th>
              <th class="figure">Level, dBmV</th>
              <th class="figure">Spread, dB</th>
              <th class="figure">MER, dB</th>
              <th class="figure">MER spread, dB</th>
              <th class="figure">CNR, dB</th>
            </tr>
          </thead>
          <tbody>
            {proposal.channels.map((channel) => (
              <tr key={channel.freqMhz}>
                <td>{channel.channel ?? 'outside the plan'}</td>
                <td class="figure">{formatMhz(channel.freqMhz)}</td>
                <td>{channel.modulation === null ? '–' : MODULATION_WORD[channel.modulation]}</td>
                <td class="figure">{formatNumber(channel.levelDbmv)}</td>
                <td class="figure">{formatNumber(channel.levelSpreadDb, 2)}</td>
                <td class="figure">{formatNumber(channel.merDb)}</td>
                <td class="figure">{formatNumber(channel.merSpreadDb, 2)}</td>
                <td class="figure">{formatNumber(channel.cnrDb)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </ScrollRegion>
    </details>
  );
}
