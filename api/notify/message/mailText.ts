import type { AlertLine, MessageContent } from './content.ts';

/** The message as plain text, short lines for a phone. */
export function mailText(content: MessageContent, settingsUrl: string): string {
  const blocks = [content.intro];
  for (const { heading, alerts, more } of content.sections) {
    blocks.push(heading.toUpperCase(), ...alerts.map(alertText));
    if (more > 0) blocks.push(`… and ${more} more.`);
  }
  if (content.caution !== null) blocks.push(content.caution);
  blocks.push(`${content.link.words}: ${content.link.url}`);
  blocks.push(`-- \n${content.closing}\nChange what you get: ${settingsUrl}`);
  return `${blocks.filter((block) => block !== '').join('\n\n')}\n`;
}

function alertText({ severity, title, where, since, left, doFirst, became, url }: AlertLine): string {
  return [
    `${severity.toUpperCase()}: ${oneLine(title)}`,
    `Where: ${oneLine(where)}`,
    `Since: ${since}`,
    left && `Left: ${left}`,
    became && `Now: ${oneLine(became)}`,
    doFirst && `Do first: ${oneLine(doFirst)}`,
    url,
  ]
    .filter(Boolean)
    .join('\n');
}

function oneLine(text: string): string {
  return text.replaceAll(/\s+/g, ' ').trim();
}
