import { expect } from 'vitest';

/** The body of an answer that must be a success. */
export async function ok<T>(answer: Response): Promise<T> {
  const text = await answer.text();
  expect(answer.status, text).toBeLessThan(300);
  return (text === '' ? undefined : JSON.parse(text)) as T;
}

/** What is wrong with each field of a request that must have been refused for its fields. */
export async function fieldsOf(answer: Response): Promise<Record<string, string>> {
  expect(answer.status).toBe(422);
  return ((await answer.json()) as { error: { fields: Record<string, string> } }).error.fields;
}
