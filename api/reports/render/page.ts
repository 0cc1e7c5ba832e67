import { html } from 'hono/html';
import type { Block, ReportDocument } from '../document/block.ts';
import { svg } from './svg.ts';

/** What stands above a report on the screen and not on paper. */
export interface PageTools {
  readonly siteHref: string;
  readonly siteName: string;
  /** Each with an address; the current one is marked. */
  readonly kinds: readonly PageLink[];
  readonly spans: readonly PageLink[];
  readonly files: readonly PageLink[];
  /** The hash that somebody holds against this report. */
  readonly check: {
    readonly kind: string;
    readonly from: string;
    readonly to: string;
    /** As it was typed; empty when nobody asked. */
    readonly printed: string;
    readonly matches: boolean | null;
  };
  /** For the form that chooses other days; days of the site's zone as "2026-11-26". */
  readonly form: { readonly kind: string; readonly fromDay: string; readonly toDay: string };
}

export interface PageLink {
  readonly text: string;
  readonly href: string;
  readonly current?: boolean;
}

/** A report as a page made for paper. */
export function reportPage(document: ReportDocument, tools: PageTools) {
  return html`<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${document.title} – Levelkeep</title>
<link rel="icon" href="/mark.svg">
<link rel="stylesheet" href="/report.css">
</head>
<body>
${toolbar(tools)}
<main class="report">
<header><h1>${document.title}</h1><p class="quiet">${document.subtitle}</p></header>
${document.blocks.map(blockHtml)}
</main>
</body>
</html>`;
}

function toolbar({ siteHref, siteName, kinds, spans, files, form, check }: PageTools) {
  return html`<div class="tools">
<nav aria-label="You are here"><a href="/">Fleet</a> / <a href="${siteHref}">${siteName}</a></nav>
${linkRow('Report', kinds)}
${linkRow('Period', spans)}
<form method="get">
<input type="hidden" name="kind" value="${form.kind}">
<label>From <input type="date" name="fromDay" value="${form.fromDay}" required></label>
<label>to <input type="date" name="toDay" value="${form.toDay}" required></label>
<button type="submit">Show these days</button>
</form>
${linkRow('Files', files)}
${checkForm(check)}
<p class="quiet">To print, use the browser’s own print command; both A4 and Letter fit.</p>
</div>`;
}

function checkForm({ kind, from, to, printed, matches }: PageTools['check']) {
  const verdict =
    matches === null
      ? ''
      : matches
        ? 'It matches: the data of this report is what it was.'
        : 'It does not match this report. Compare the parts at the end of the two: they say what differs.';
  return html`<form method="get">
<input type="hidden" name="kind" value="${kind}"><input type="hidden" name="from" value="${from}"><input type="hidden" name="to" value="${to}">
<label>Hash of a printed report <input name="hash" value="${printed}" size="24" required></label>
<button type="submit">Check it against this one</button>
<span role="status">${verdict}</span>
</form>`;
}

function linkRow(label: string, links: readonly PageLink[]) {
  return html`<nav aria-label="${label}"><span>${label}</span> ${links.map(({ text, href, current }) =>
    current ? html`<a href="${href}" aria-current="page">${text}</a> ` : html`<a href="${href}">${text}</a> `,
  )}</nav>`;
}

function blockHtml(block: Block) {
  switch (block.block) {
    case 'heading':
      return block.level === 2
        ? html`<h2 class="${block.newPage ? 'new-page' : ''}">${block.text}</h2>`
        : html`<h3>${block.text}</h3>`;
    case 'text':
      return html`<p class="${block.quiet ? 'quiet' : ''}">${block.text}</p>`;
    case 'list':
      return html`<ul>${block.items.map((item) => html`<li>${item}</li>`)}</ul>`;
    case 'facts':
      return html`<dl>${block.rows.map(([term, value]) => html`<div><dt>${term}</dt><dd>${value}</dd></div>`)}</dl>`;
    case 'drawing':
      return html`<figure><div class="wide" tabindex="0" role="region" aria-label="${block.drawing.label}">${svg(block.drawing)}</div><figcaption>${block.caption}</figcaption></figure>`;
    case 'table':
      return tableHtml(block);
  }
}

function tableHtml({ caption, columns, rows }: Extract<Block, { block: 'table' }>) {
  return html`<div class="wide" tabindex="0" role="region" aria-label="${caption}"><table>
<caption>${caption}</caption>
<thead><tr>${columns.map(({ title, align }) => html`<th scope="col" class="${align}">${title}</th>`)}</tr></thead>
<tbody>${rows.map(
    ({ cells, marked }) =>
      html`<tr class="${marked ? 'marked' : ''}">${cells.map(
        (cell, i) => html`<td class="${columns[i]!.align}">${cell}</td>`,
      )}</tr>`,
  )}</tbody>
</table></div>`;
}
