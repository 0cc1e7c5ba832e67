import type { LayoutName } from './layouts.ts';
import type { PlanName } from './plans.ts';
import type { TOWNS } from './towns.ts';

/** Quillhaven Signal Works, an invented company, looks after the distribution in these invented buildings. */
export const COMPANY = 'Quillhaven Signal Works';
export const INSTALLER = 'Odile Farrow (installer)';

/** One building of the demo. The provider's plan bears the provider's name. */
export interface RosterEntry {
  readonly name: string;
  readonly town: keyof typeof TOWNS;
  readonly provider: PlanName;
  readonly layout: LayoutName;
  readonly outlets: number;
}

export const ROSTER: readonly RosterEntry[] = [
  ...inTown('alderquay', 'northmere', [
    ['Saint Odra Hospital', 'gear', 420],
    ['Lanternquay Hotel', 'risers', 180],
    ['Wrenfield Primary School', 'amplified', 48],
    ['Quayside Residence', 'passive', 24],
    ['Harrow Lane Secondary School', 'amplified', 72],
    ['Cooperage Residence', 'passive', 30],
    ['Mariners Rest Care Home', 'amplified', 64],
  ]),
  ...inTown('brackenmoor', 'northmere', [
    ['Brackenmoor General Hospital', 'gear', 360],
    ['Mossgate Hotel', 'risers', 140],
    ['Peatstone Primary School', 'amplified', 40],
    ['Camp Hollin Barracks', 'campus', 220],
    ['Heatherbank Residence', 'passive', 28],
    ['Curlew Road School', 'amplified', 56],
    ['Tarn View Care Home', 'amplified', 60],
  ]),
  ...inTown('cinderhollow', 'saltfen', [
    ['Cinderhollow Clinic', 'gear', 160],
    ['Redmesa Lodge Hotel', 'risers', 210],
    ['Juniper Flat School', 'amplified', 64],
    ['Fort Ashgrove Quarters', 'campus', 260],
    ['Ocotillo Court Residence', 'passive', 36],
    ['Drywell Street School', 'amplified', 52],
    ['Sunstone Care Home', 'amplified', 70],
  ]),
  ...inTown('dunmarrow', 'saltfen', [
    ['Dunmarrow Valley Hospital', 'gear', 300],
    ['Pinecross Hotel', 'risers', 120],
    ['Aspenholt School', 'amplified', 58],
    ['Camp Stonebridge Barracks', 'campus', 190],
    ['Millrace Residence', 'passive', 26],
    ['Larkspur Hill School', 'amplified', 44],
    ['Snowfield Residence', 'passive', 32],
  ]),
  ...inTown('eldersfen', 'brindlewick', [
    ['Eldersfen Regional Hospital', 'gear', 390],
    ['Heron Gate Hotel', 'risers', 240],
    ['Fenwillow Primary School', 'amplified', 46],
    ['Fort Marlowe Quarters', 'campus', 280],
    ['Sedgebank Residence', 'passive', 34],
    ['Bulrush Lane School', 'amplified', 50],
    ['Cypress Walk Care Home', 'amplified', 66],
  ]),
  ...inTown('greywether', 'brindlewick', [
    ['Greywether Infirmary', 'gear', 280],
    ['Saltmarsh Hotel', 'risers', 160],
    ['Driftwood Primary School', 'amplified', 42],
    ['Camp Cormorant Barracks', 'campus', 170],
    ['Lightkeeper Residence', 'passive', 22],
    ['Tidepool School', 'amplified', 54],
    ['Ferry Street Residence', 'passive', 38],
  ]),
];

function inTown(
  town: RosterEntry['town'],
  provider: PlanName,
  buildings: readonly (readonly [name: string, layout: LayoutName, outlets: number])[],
): RosterEntry[] {
  return buildings.map(([name, layout, outlets]) => ({ name, town, provider, layout, outlets }));
}
