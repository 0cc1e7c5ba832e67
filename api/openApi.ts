import type { OpenAPIHono } from '@hono/zod-openapi';
import type { AppEnv } from './env.ts';

/** Serves the description of every mounted route at /openapi.json. */
export function describeApi(app: OpenAPIHono<AppEnv>): void {
  app.openAPIRegistry.registerComponent('securitySchemes', 'token', {
    type: 'http',
    scheme: 'bearer',
    description: 'An automation token from Set-up, Accounts',
  });
  app.openAPIRegistry.registerComponent('securitySchemes', 'session', {
    type: 'apiKey',
    in: 'cookie',
    name: 'levelkeep.session_token',
    description: 'Set by POST /api/auth/sign-in/email',
  });
  app.doc31('/openapi.json', {
    openapi: '3.1.0',
    info: {
      title: 'Levelkeep',
      version: '1',
      description: 'Errors are {"error": {"code", "message", "action", "fields"?}}.',
    },
    security: [{ token: [] }, { session: [] }],
  });
}
