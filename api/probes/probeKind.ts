import type { ZodType } from 'zod';
import type { Driver } from '../../ingest/probe/driver.ts';

/** Secrets by the name of their field; never shown, never logged. */
export type ProbeSecrets = Readonly<Record<string, string>>;

/** What a driver is made of. */
export interface DriverMaking<Settings> {
  readonly settings: Settings;
  readonly secrets: ProbeSecrets;
  /** The point's name in sweeps. */
  readonly point: string;
  /** Zone of times that name none: the site's. */
  readonly timeZone: string;
  /** Throws a ProbeError when the host, by name or number, is none where instruments are read. */
  readonly requireAllowed: (host: string) => Promise<void>;
  readonly now: () => number;
  /** Told, line by line, what a person should know about the reading. */
  readonly note: (line: string) => void;
}

/** An instrument that the server can read. There is none that runs a program: nobody starts one on the server from a page. */
export interface ProbeKind<Settings> {
  readonly settingsSchema: ZodType;
  readonly secretsSchema: ZodType<Readonly<Record<string, string | undefined>>>;
  /** Host that is spoken to: held against the addresses that the server keeps away from. */
  host(settings: Settings): string;
  /** Where it is read, as a person gave it. */
  address(settings: Settings): string;
  /** The same for probes that read the same instrument. */
  instrumentKey(settings: Settings): string;
  /** What is wrong with secrets for these settings, by field. */
  secretFaults(settings: Settings, secrets: ProbeSecrets): Readonly<Record<string, string>>;
  createDriver(making: DriverMaking<Settings>): Driver;
}
