import { useId } from 'preact/hooks';
import type { ChannelOffer, LevelUnit, TypedVerdict } from '../../../api/schemas/typedReadings.ts';
import { formatMhz, formatNumber } from '../../format.ts';
import { MODULATION_WORD } from '../../words.ts';
import { offerOf } from './draftOf.ts';
import { Figure } from './figureField.tsx';
import type { KeptRow } from './kept.ts';
import { TypedMark, UNIT_WORD } from './typedWords.tsx';

interface ReadingRowProps {
  row: KeptRow;
  place: number;
  channels: readonly ChannelOffer[];
  unit: LevelUnit;
  /** 0 dBmV in the meter's unit. */
  zeroDbmv: number;
  judged: TypedVerdict['readings'][number] | undefined;
  /** What can't be read or stored, by field. */
  faults: {
    readonly mhz?: string | undefined;
    readonly level?: string | undefined;
    readonly quality?: string | undefined;
  };
  onChange: (change: Partial<KeptRow>) => void;
  onRemove: () => void;
}

/** One channel: which, level, MER or CNR, and what they say. */
export function ReadingRow({
  row,
  place,
  channels,
  unit,
  zeroDbmv,
  judged,
  faults,
  onChange,
  onRemove,
}: ReadingRowProps) {
  const offer = offerOf(row, channels);
  const title = offer === null ? `Channel ${place + 1} of this form` : nameOf(offer);
  return (
    <li class="reading" aria-label={title}>
      <div class="reading-head">
        <ChannelChoice row={row} channels={channels} fault={faults.mhz} onChange={onChange} />
        <button
          type="button"
          class="take-out"
          aria-label={`Take out ${title}`}
          title="Take out"
          onClick={onRemove}
        >
          ×
        </button>
      </div>
      <div class="reading-figures">
        <Figure
          label="Level"
          unit={UNIT_WORD[unit]}
          value={row.lost ? '' : row.level}
          fault={faults.level}
          disabled={row.lost}
          signed
          onValue={(level) => onChange({ level })}
        />
        <Figure
          label={offer?.modulation === 'analogue' ? 'CNR' : 'MER'}
          unit="dB"
          value={row.lost ? '' : row.quality}
          fault={faults.quality}
          disabled={row.lost}
          onValue={(quality) => onChange({ quality })}
        />
      </div>
      <div class="reading-foot">
        <label class="check">
          <input
            type="checkbox"
            checked={row.lost}
            onChange={(event) => onChange({ lost: event.currentTarget.checked })}
          />
          Not found
        </label>
        {offer !== null && <span class="quiet">{thenWords(offer, unit, zeroDbmv)}</span>}
      </div>
      {judged !== undefined && judged.hint !== '' && (
        <p class="reading-hint">
          <TypedMark verdict={judged.verdict} />: {judged.hint}.
        </p>
      )}
    </li>
  );
}

function ChannelChoice({
  row,
  channels,
  fault,
  onChange,
}: Pick<ReadingRowProps, 'row' | 'channels' | 'onChange'> & { fault: string | undefined }) {
  const id = useId();
  const known = offerOf(row, channels) !== null;
  if (channels.length === 0) {
    return (
      <Figure
        label="Centre of the channel"
        unit="MHz"
        value={row.mhz}
        fault={fault}
        onValue={(mhz) => onChange({ mhz })}
      />
    );
  }
  return (
    <div class="field">
      <label for={id} class="sr-only">
        Channel
      </label>
      <select
        id={id}
        value={row.mhz}
        aria-invalid={fault ? 'true' : undefined}
        onChange={(event) => onChange({ mhz: event.currentTarget.value })}
      >
        {!known && (
          <option value={row.mhz}>
            {row.mhz === '' ? 'Choose a channel' : `${row.mhz} MHz, no longer in the plan`}
          </option>
        )}
        {channels.map((offer) => (
          <option key={offer.freqMhz} value={String(offer.freqMhz)}>
            {nameOf(offer)}
          </option>
        ))}
      </select>
      {fault && <p class="field-error">{fault}</p>}
    </div>
  );
}

/** "RF 18, 147 MHz, 256-QAM". */
function nameOf({ channel, freqMhz, modulation }: ChannelOffer): string {
  const where = `${formatMhz(freqMhz)} MHz`;
  return channel === '' ? where : `RF ${channel}, ${where}, ${MODULATION_WORD[modulation]}`;
}

function thenWords(
  { thenLevelDbmv, thenMerDb, modulation }: ChannelOffer,
  unit: LevelUnit,
  zeroDbmv: number,
): string {
  if (thenLevelDbmv === null) return 'not in the baseline';
  const level = `${formatNumber(thenLevelDbmv + zeroDbmv)} ${UNIT_WORD[unit]}`;
  const quality =
    thenMerDb === null ? '' : `, ${modulation === 'analogue' ? 'CNR' : 'MER'} ${formatNumber(thenMerDb)} dB`;
  return `Baseline: ${level}${quality}`;
}
