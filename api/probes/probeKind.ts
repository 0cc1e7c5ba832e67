import type { Driver } from '../../ingest/probe/driver.ts';

/** Secrets by the name of their field; never shown, never logged. */
export type ProbeSecrets = Readonly<Record<string, string>>;

/** An instrument that the server can read. There is none that runs a program: nobody starts one on the server from a page. */
export interface ProbeKind<Settings> {
  /** Host that is spoken to: held against the addresses that the server keeps away from. */
  host(settings: Settings): string;
  /** The same for probes that read the same instrument. */
  instrumentKey(settings: Settings): string;
  /** What is wrong with secrets for these settings, by field. */
  secretFaults(settings: Settings, secrets: ProbeSecrets): Readonly<Record<string, string>>;
  createDriver(reading: {
    readonly settings: Settings;
    readonly secrets: ProbeSecrets;
    readonly now: () => number;
    /** Told, line by line, what a person should know about the reading. */
    readonly note: (line: string) => void;
  }): Driver;
}
