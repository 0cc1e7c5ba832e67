import { AGENT_REPORT_LIMITS, type AgentReport, AgentReportSchema } from './agentReport.ts';
import { BadRequest } from './parseBody.ts';

/** A heartbeat from the bytes of a request. Throws a {@link BadRequest} that names the first field at fault. */
export function parseAgentReport(body: Buffer): AgentReport {
  if (body.length > AGENT_REPORT_LIMITS.maxBytes)
    throw new BadRequest(
      413,
      `a report has more than ${AGENT_REPORT_LIMITS.maxBytes} bytes`,
      'send what status.json holds',
    );
  const parsed = AgentReportSchema.safeParse(jsonOf(body));
  if (parsed.success) return parsed.data;
  const issue = parsed.error.issues[0]!;
  throw new BadRequest(
    400,
    `${issue.path.join('.') || 'the report'}: ${issue.message}`,
    'send what status.json holds',
  );
}

function jsonOf(body: Buffer): unknown {
  try {
    return JSON.parse(body.toString('utf8'));
  } catch (cause) {
    throw new BadRequest(400, 'the report is no JSON', 'send what status.json holds', { cause });
  }
}
