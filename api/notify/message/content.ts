import type { Severity } from '../../../ingest/store/schema.ts';

/** One alert as a message tells of it; times are in the reader's zone already. */
export interface AlertLine {
  readonly alertId: number;
  readonly severity: Severity;
  readonly title: string;
  readonly where: string;
  readonly since: string;
  /** How long is left; null where nothing is forecast or it doesn't matter any more. */
  readonly left: string | null;
  readonly doFirst: string | null;
  /** What became of it since, such as who acknowledged it. */
  readonly became: string | null;
  readonly url: string;
}

export interface MessageSection {
  readonly heading: string;
  readonly alerts: readonly AlertLine[];
  /** How many more there are than are listed. */
  readonly more: number;
}

/** A message before it is plain text, HTML or JSON. */
export interface MessageContent {
  readonly subject: string;
  readonly intro: string;
  readonly sections: readonly MessageSection[];
  /** Said wherever a message tells somebody what to do. */
  readonly caution: string | null;
  /** Why the reader gets this, and where to change it. */
  readonly closing: string;
  readonly link: { readonly words: string; readonly url: string };
}
