import type { ComponentChildren } from 'preact';

interface PickManyProps {
  legend: string;
  /** What it means that nothing is chosen. */
  none: string;
  chosen: readonly (readonly [id: number, name: string])[];
  onRemove: (id: number) => void;
  error?: string | undefined;
  /** The control that adds one. */
  children: ComponentChildren;
}

/** Several things of a kind: those chosen, each with a way out, and a control to add one. */
export function PickMany({ legend, none, chosen, onRemove, error, children }: PickManyProps) {
  return (
    <fieldset class="group">
      <legend>{legend}</legend>
      {chosen.length === 0 && <p class="quiet">{none}</p>}
      {chosen.length > 0 && (
        <ul class="picked">
          {chosen.map(([id, name]) => (
            <li key={id}>
              {name}
              <button
                type="button"
                class="small"
                aria-label={`Take out ${name}`}
                onClick={() => onRemove(id)}
              >
                Take out
              </button>
            </li>
          ))}
        </ul>
      )}
      {children}
      {error && <p class="field-error">{error}</p>}
    </fieldset>
  );
}
