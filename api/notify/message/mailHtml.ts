import { html, raw } from 'hono/html';
import type { AlertLine, MessageContent, MessageSection } from './content.ts';

const INK = '#23262b';
const QUIET = '#585c63';
const RULE = '#d8d5ce';
const GRAVE = '#a2361a';

/** The message as HTML: one column, no pictures, nothing fetched. Everything that is not ours is escaped. */
export function mailHtml(content: MessageContent, settingsUrl: string): string {
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${content.subject}</title>
</head>
<body style="margin:0;padding:16px;font:16px/1.45 system-ui,sans-serif;color:${INK}">
<div style="max-width:36rem;margin:0 auto">
${content.intro === '' ? '' : html`<p style="margin:0 0 16px">${content.intro}</p>`}
${content.sections.map(sectionHtml)}
${content.caution === null ? '' : html`<p style="margin:16px 0 0;font-size:14px">${content.caution}</p>`}
<p style="margin:24px 0"><a href="${content.link.url}" style="display:inline-block;padding:10px 16px;border:1px solid ${INK};border-radius:6px;color:${INK};text-decoration:none;font-weight:600">${content.link.words}</a></p>
<p style="margin:24px 0 0;padding-top:12px;border-top:1px solid ${RULE};color:${QUIET};font-size:14px">${content.closing} <a href="${settingsUrl}" style="color:${QUIET}">Change what you get</a></p>
</div>
</body>
</html>
`;
  return page.toString();
}

function sectionHtml({ heading, alerts, more }: MessageSection) {
  return html`<h2 style="margin:24px 0 8px;font-size:15px;color:${QUIET}">${heading}</h2>
${alerts.map(alertHtml)}
${more > 0 ? html`<p style="margin:8px 0">… and ${more} more.</p>` : ''}`;
}

function alertHtml({ severity, title, where, since, left, doFirst, became, url }: AlertLine) {
  const grave = severity === 'critical' || severity === 'major';
  return html`<div style="margin:0 0 12px;padding:12px;border:1px solid ${RULE};border-left:4px solid ${grave ? GRAVE : RULE};border-radius:6px">
<p style="margin:0 0 6px"><strong style="color:${grave ? GRAVE : INK}">${severity.charAt(0).toUpperCase() + severity.slice(1)}</strong>: <a href="${url}" style="color:${INK};font-weight:600">${title}</a></p>
<p style="margin:0">${where}</p>
${fact('Since', since)}${fact('Left', left)}${fact('Now', became)}${fact('Do first', doFirst)}
</div>`;
}

function fact(name: string, words: string | null) {
  if (words === null) return raw('');
  return html`<p style="margin:4px 0 0"><span style="color:${QUIET}">${name}:</span> ${words}</p>`;
}
