/** The part of the form for one kind of instrument. */
export interface KindFieldsProps<Draft> {
  draft: Draft;
  /** What is wrong, by the path of the field. */
  faults: Readonly<Record<string, string>>;
  keepsSecrets: boolean;
  onChange: (changed: Partial<Draft>) => void;
}
