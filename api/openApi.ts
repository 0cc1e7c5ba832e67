import type { OpenAPIHono } from '@hono/zod-openapi';
import type { AppEnv } from './env.ts';
import { WebhookPayloadSchema } from './schemas/webhook.ts';

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
  app.openAPIRegistry.registerWebhook({
    method: 'post',
    path: 'alerts.changed',
    summary: 'What a webhook target is sent, signed after the Standard Webhooks specification',
    description:
      'Verify webhook-signature over webhook-id, webhook-timestamp and the body with the target’s secret. The same webhook-id may ' +
      'come twice: drop the repeat. Answer 2xx within 15 s; anything else is tried again for about 30 hours, 410 ends it. Redirects ' +
      'are not followed.',
    request: { body: { content: { 'application/json': { schema: WebhookPayloadSchema } } } },
    responses: { 204: { description: 'Taken' } },
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
