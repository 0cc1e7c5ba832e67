/** What stands in place of a secret. */
export const LEFT_OUT = '(secret, not kept)';

const SECRET_NAME =
  /^(secrets?|password|token|key|sealed|community|credential|cookie)$|(secret|password|passphrase|token|hash|sha256|community|privateKey|apiKey|siteKey)$/i;

/**
 * A copy as JSON would carry it, with the value of every field named like a secret left out, at any depth. The name
 * says that there was one; null stays null.
 */
export function withoutSecrets(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value), (name, field: unknown) =>
    field !== null && SECRET_NAME.test(name) ? LEFT_OUT : field,
  );
}
