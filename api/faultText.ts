import type { z } from 'zod';

type Issue = z.core.$ZodIssue;

/** Where a schema gives words of its own, they are better. */
const OWN_WORDS_OF_ZOD = /^(Invalid|Too small|Too big)/;
const NOUN: Record<string, string> = { string: 'characters', array: 'entries', set: 'entries' };

/** What is wrong with a field and what it should be, in words that stand after the field's name. */
export function faultText(issue: Issue): string {
  if (!OWN_WORDS_OF_ZOD.test(issue.message)) return issue.message;
  switch (issue.code) {
    case 'invalid_type':
      return `${/received undefined$/.test(issue.message) ? 'is missing: give' : 'must be'} ${a(issue.expected)}`;
    case 'too_small':
      return `must ${bound('at least', issue.origin, issue.minimum, issue.inclusive ?? true)}`;
    case 'too_big':
      return `must ${bound('at most', issue.origin, issue.maximum, issue.inclusive ?? true)}`;
    case 'invalid_value':
      return `must be ${issue.values.map((value) => JSON.stringify(value)).join(' or ')}`;
    case 'invalid_format':
      return FORMAT[issue.format] ?? issue.message;
    default:
      return issue.message;
  }
}

const FORMAT: Record<string, string> = {
  datetime: 'must be a time in UTC such as "2026-03-01T12:00:00Z"',
  email: 'must be an e-mail address such as "ann@example.org"',
};

function bound(word: string, origin: string, limit: number | bigint, inclusive: boolean): string {
  const noun = NOUN[origin];
  if (noun && word === 'at least' && limit === 1) return 'not be empty';
  if (noun) return `have ${word} ${limit} ${noun}`;
  if (inclusive) return `be ${word} ${limit}`;
  return word === 'at least' ? `be more than ${limit}` : `be less than ${limit}`;
}

function a(type: string): string {
  return /^[aeio]/.test(type) ? `an ${type}` : `a ${type}`;
}
