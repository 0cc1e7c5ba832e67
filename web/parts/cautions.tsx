import type { CautionId } from '../../api/schemas/cause.ts';
import type { Side } from '../../api/schemas/common.ts';

/** Whose rule decides stands behind each; local codes and licensed practice come before both. */
const CAUTIONS: Readonly<Record<CautionId, { text: string; defersTo: string }>> = {
  bonding: {
    text: 'Bond first: with the shield’s bond open, a drop can carry a shock, and no level reading shows it. Measure for voltage between shield and ground before you open a drop or a bond.',
    defersTo: 'NEC 800.100 and Article 820',
  },
  'line-power': {
    text: 'Amplifiers may be fed with 60 or 90 V AC over the coax. Find out whether a line carries power before you connect a meter or touch a centre conductor.',
    defersTo: 'NEC Article 830 and the gear’s marking',
  },
  mains: {
    text: 'Gear on mains power is opened by a qualified person, with the supply locked off.',
    defersTo: 'NEC and OSHA 29 CFR 1910.147',
  },
  heights: {
    text: 'Ladders, roofs, lifts and risers need training, fall protection, and somebody who knows where you are.',
    defersTo: 'OSHA 29 CFR 1910 and 1926',
  },
  fibre: {
    text: 'Treat every open fibre as live: never look into one, cap unused ports. Infrared can’t be seen.',
    defersTo: 'IEC 60825-1 and -2',
  },
  leakage: {
    text: 'Damaged shields and open ports leak into bands that aircraft use. Don’t cure a low level by raising a line that leaks: find the leak.',
    defersTo: '47 CFR 76.610 to 76.616',
  },
};

const ALL = Object.keys(CAUTIONS) as CautionId[];

/** What can hurt somebody who now goes to work on the strength of this page. */
export function Cautions({ side }: { side: Side }) {
  return (
    <details class="cautions">
      <summary>
        {side === 'provider'
          ? 'Before anybody works: the gear up to the handoff is the provider’s; report, don’t adjust.'
          : 'Before anybody works: a line may carry power, and a good number here is no proof that it is safe.'}
      </summary>
      <ul>
        {side !== 'building' && side !== 'provider' && (
          <li>The gear up to the handoff is the provider’s: report, don’t adjust.</li>
        )}
        <CautionItems ids={ALL} />
      </ul>
      <p class="quiet">
        Local codes, the current text of those named, and licensed practice decide. This page does not prove
        safety or compliance.
      </p>
    </details>
  );
}

/** Cautions as items of a list. */
export function CautionItems({ ids }: { ids: readonly CautionId[] }) {
  return (
    <>
      {ids.map((id) => (
        <li key={id}>
          {CAUTIONS[id].text} <span class="quiet">({CAUTIONS[id].defersTo})</span>
        </li>
      ))}
    </>
  );
}
