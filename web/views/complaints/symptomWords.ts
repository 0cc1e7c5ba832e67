import type { Symptom } from '../../../api/schemas/complaints.ts';

/** What people see, in their words. */
export const SYMPTOM_WORD: Readonly<Record<Symptom, string>> = {
  'no-picture': 'No picture at all',
  'breaks-up': 'Picture freezes or breaks up',
  noise: 'Snow or noise in the picture',
  missing: 'A channel is missing',
  sound: 'Bad sound, or none',
  internet: 'Modem slow or off line',
  other: 'Something else',
};

export const SYMPTOMS = Object.keys(SYMPTOM_WORD) as Symptom[];
