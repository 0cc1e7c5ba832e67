import { expect, test } from 'vitest';
import { failureFrom, withQuery } from '../../web/client.ts';

test('a refusal keeps the message, the action and the fields of the server', () => {
  const body = {
    error: {
      code: 'bad-input',
      message: 'name is missing',
      action: 'give it',
      fields: { name: 'is missing' },
    },
  };
  const failure = failureFrom(422, JSON.stringify(body));
  expect(failure).toMatchObject({
    status: 422,
    message: 'name is missing',
    action: 'give it',
    fields: { name: 'is missing' },
  });
});

test('an error that puts its words at the top is read as well', () => {
  expect(failureFrom(401, '{"code":"X","message":"Invalid email or password"}').message).toBe(
    'Invalid email or password',
  );
});

test('an answer that is no JSON still gives something to act on', () => {
  const failure = failureFrom(502, '<html>Bad gateway</html>');
  expect(failure.message).toBe('the server answered 502');
  expect(failure.action).not.toBe('');
});

test('queries leave out what is empty', () => {
  expect(withQuery('/a', { search: '', verdict: null, offset: 0 })).toBe('/a?offset=0');
  expect(withQuery('/a', { search: 'x & y' })).toBe('/a?search=x+%26+y');
});
