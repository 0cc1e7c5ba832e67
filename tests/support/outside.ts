/** What the application knows of the world outside, where a test has nothing to do with it. */
export const OUTSIDE = {
  origin: 'http://levelkeep.test',
  secret: 'a secret for tests, 32 characters',
  notify: { mail: null, allowPrivateWebhooks: false },
} as const;
