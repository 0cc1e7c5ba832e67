import type { ProbeStanding } from '../schemas/probes.ts';

/** One sweep as far as its coming and its shape go. */
export interface Arrived {
  readonly atMs: number;
  readonly instrument: string;
  /** Channels measured, or looked for and not found. */
  readonly channels: number;
  /** Every value is exactly that of the sweep before it, by the same instrument. */
  readonly repeats: boolean;
}

/** An instrument at a point that the server reads by itself. */
export interface ServerProbe {
  readonly pointId: number;
  readonly name: string;
  readonly standing: ProbeStanding;
  /** It has brought a sweep before. */
  readonly hasRead: boolean;
  readonly dueMs: number | null;
  /** Its failed runs since the last that succeeded, in the words of the newest; null when there are none. */
  readonly failing: {
    readonly sinceMs: number;
    /** Older runs are no longer kept. */
    readonly orEarlier: boolean;
    readonly message: string;
    readonly action: string;
  } | null;
}

/** How the sweeps of a point have come. */
export interface PointReadings {
  readonly pointId: number;
  /** What sweeps and agents call the point. */
  readonly name: string;
  readonly title: string;
  readonly intervalS: number;
  /** The newest, newest first; those of maintenance windows are left out. */
  readonly sweeps: readonly Arrived[];
  /** Newest sweep at all, in a window or not; null when none ever came. */
  readonly lastMs: number | null;
  /** Channels of the baseline in force, and who made it; null without one. */
  readonly baseline: { readonly channels: number; readonly instruments: readonly string[] } | null;
}

/** From the gravest to the least. */
export const PUNCTUALITY_KINDS = ['absent', 'frozen', 'partial', 'off-schedule', 'late'] as const;
export type PunctualityKind = (typeof PUNCTUALITY_KINDS)[number];

/** `sinceMs` is the last sweep. */
export interface DueTrouble {
  /** `late`: hardly by chance; `absent`: by no chance. */
  readonly kind: 'late' | 'absent';
  readonly sinceMs: number;
  readonly dueMs: number;
  readonly missed: number;
}

export interface PartialTrouble {
  readonly kind: 'partial';
  readonly sinceMs: number;
  /** It began before what is looked at. */
  readonly orEarlier: boolean;
  readonly channels: number;
  readonly usual: number;
}

export interface FrozenTrouble {
  readonly kind: 'frozen';
  readonly sinceMs: number;
  readonly orEarlier: boolean;
  readonly sweeps: number;
}

export interface ScheduleTrouble {
  readonly kind: 'off-schedule';
  readonly sinceMs: number;
  readonly orEarlier: boolean;
  /** Time between sweeps as it is, s. */
  readonly everyS: number;
}

/** What is wrong with the coming of a point's sweeps. */
export type PointTrouble = DueTrouble | PartialTrouble | FrozenTrouble | ScheduleTrouble;
