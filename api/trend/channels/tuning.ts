import { DAY_MS, HOUR_MS } from '../types.ts';
import { chiSquareForLooks, deviatesForLooks } from './falseAlarms.ts';

/**
 * Readings that a baseline is taken to hold of each channel until more are seen: error of a channel's baseline 0.7 of a single
 * reading's. Common practice, no source.
 */
export const BASELINE_SWEEPS = 2;
/** Standard deviation from one instrument to the next in what they read of a channel: up to 0.2 dB either way, evenly. */
export const INSTRUMENT_DB = 0.115;
/** Of one reading, until learnt. */
export const LEVEL_NOISE_DB = 0.25;
export const MER_NOISE_DB = 0.35;
/** Weight of the newest sweep in the recent mean: best for a change two to three sweeps old. */
export const NEWEST_WEIGHT = 0.4;
/** Sweeps the recent mean is worth once it has run for a while, (2 − w)/w. */
export const RECENT_SWEEPS = (2 - NEWEST_WEIGHT) / NEWEST_WEIGHT;
/** Nothing is concluded before so many sweeps. */
export const FIRST_SWEEPS = 24;

export const BLOCK_MS = 12 * HOUR_MS;
export const SCAN_EVERY_MS = 6 * HOUR_MS;
export const LEARN_MS = 72 * HOUR_MS;
/** What has been suspected for so long without being found is taken as normal again. */
export const SUSPICION_MS = 10 * DAY_MS;
/** The normal goes on learning from older blocks as if from so many sweeps. */
export const NORMAL_SWEEPS_MOST = 2000;
/** Error that a block's mean has besides noise (rounding, leftovers of temperature), dB a channel. */
export const LEFTOVER_DB = 0.006;

/** One false conclusion of all kinds in 20 site-years of four points. */
const POINT_YEARS = 80;
const SWEEPS = POINT_YEARS * 365 * 96;
const SCANS = POINT_YEARS * 365 * 4;
/** Places and widths that count as independent with 80 channels, and windows of time. */
const PLACES = 160;
const WINDOWS = 8;
/** Delays that a band of 80 channels tells apart: half a delay for each channel at even spacing, up to one where they lie wider. */
const DELAYS = 80;

/** Deviates and χ² beyond which a scan has found something; the allowance is shared between the four scans. */
export const SLOW_DEVIATES = deviatesForLooks((4 * SCANS * PLACES * WINDOWS) / 1);
export const FAST_DEVIATES = deviatesForLooks(4 * SWEEPS * PLACES);
export const RIPPLE_CHI_SQUARE = chiSquareForLooks(4 * SWEEPS * DELAYS);
export const MER_DEVIATES = deviatesForLooks(4 * SWEEPS * PLACES);

/** Open conclusions of a point; when so much has moved, it is another line-up and not one more fault. */
export const CONCLUSIONS_MOST = 8;

/** Smallest changes worth telling, dB. */
export const SMALLEST_NOTCH_DB = 0.12;
export const SMALLEST_RIPPLE_DB = 0.15;
export const SMALLEST_SHIFT_DB = 0.5;
export const SMALLEST_MER_SHIFT_DB = 1;
/** Share of an open conclusion's χ² that its shape may miss without anything else being there. */
export const MISFIT_SHARE = 0.03;
