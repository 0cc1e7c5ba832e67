import fc from 'fast-check';

/** Whatever JSON can carry, and what senders get wrong most: words for numbers, huge ones, odd names, depth. */
export const hostileValue: fc.Arbitrary<unknown> = fc.oneof(
  fc.jsonValue({ maxDepth: 6 }),
  fc.double(),
  fc.integer(),
  fc.constantFrom<unknown>(
    'NaN',
    'Infinity',
    '-1e999',
    1e308,
    -0,
    Number.MAX_SAFE_INTEGER,
    '',
    ' ',
    '\0',
    '\ud800',
    'a'.repeat(10_000),
    "'; drop table sweep; --",
    '{1,2,3}',
    [],
    [[]],
    {},
    JSON.parse('{"__proto__": {"point": "handoff"}}'),
    JSON.parse('{"constructor": {"prototype": {}}}'),
    JSON.parse(`${'['.repeat(2_000)}${']'.repeat(2_000)}`),
    true,
    null,
  ),
  fc.array(fc.oneof(fc.double(), fc.constant(null), fc.string()), { maxLength: 5 }),
  fc.string({ unit: 'binary', maxLength: 30 }),
);
