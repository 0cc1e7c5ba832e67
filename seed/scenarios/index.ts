import { crushedRiser } from './crushedRiser.ts';
import { feedDownFourDb } from './feedDownFourDb.ts';
import { floodedDuct } from './floodedDuct.ts';
import { greenConnector } from './greenConnector.ts';
import { hissingAmplifier } from './hissingAmplifier.ts';
import { hotCeiling } from './hotCeiling.ts';
import { longNight } from './longNight.ts';
import { oneSplitterMore } from './oneSplitterMore.ts';
import { quietBox } from './quietBox.ts';
import { repairedSplitter } from './repairedSplitter.ts';
import type { Scenario } from './scenario.ts';
import { silentModulator } from './silentModulator.ts';
import { staircaseEcho } from './staircaseEcho.ts';
import { swappedProbe } from './swappedProbe.ts';
import { tiredOutputStage } from './tiredOutputStage.ts';
import { wobblyPlug } from './wobblyPlug.ts';

/** Every story of the demo fleet; what is not told here is an ordinary building. */
export const SCENARIOS: readonly Scenario[] = [
  tiredOutputStage,
  feedDownFourDb,
  floodedDuct,
  crushedRiser,
  silentModulator,
  quietBox,
  hissingAmplifier,
  greenConnector,
  wobblyPlug,
  staircaseEcho,
  oneSplitterMore,
  repairedSplitter,
  longNight,
  hotCeiling,
  swappedProbe,
];
