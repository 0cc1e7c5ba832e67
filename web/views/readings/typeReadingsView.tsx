import { useState } from 'preact/hooks';
import type { TypedForm } from '../../../api/schemas/typedReadings.ts';
import { Link } from '../../parts/link.tsx';
import { Failure, Waiting } from '../../parts/notice.tsx';
import { paths } from '../../paths.ts';
import { useLoad } from '../../useLoad.ts';
import { useTitle } from '../../useTitle.ts';
import { KIND_WORD } from '../../words.ts';
import { ReadingsForm } from './readingsForm.tsx';

interface TypeReadingsViewProps {
  siteId: number;
  pointId: number;
}

/** Figures from a meter that exports nothing, typed where it is read. */
export function TypeReadingsView({ siteId, pointId }: TypeReadingsViewProps) {
  const { data: form, error, reload } = useLoad<TypedForm>(paths.readingsForm(siteId, pointId));
  const [begun, setBegun] = useState(0);
  const title = form === null ? `point ${pointId}` : form.point.label || form.point.name;
  useTitle(`Type readings, ${title}`);
  return (
    <main class="page readings" id="main">
      <header class="site-header">
        <nav class="crumbs" aria-label="You are here">
          <Link href="/">Fleet</Link> <span aria-hidden="true">/</span>{' '}
          <Link href={`/sites/${siteId}/points/${pointId}`}>{form?.site.name ?? `Site ${siteId}`}</Link>{' '}
          <span aria-hidden="true">/</span> Type readings
        </nav>
        <h1 tabIndex={-1}>Type readings: {title}</h1>
        {form && <About form={form} />}
      </header>
      {error && <Failure error={error} onRetry={reload} />}
      {!form && !error && <Waiting what="the channels of this point" />}
      {form && <ReadingsForm key={begun} form={form} onAnother={() => setBegun((n) => n + 1)} />}
    </main>
  );
}

function About({ form }: { form: TypedForm }) {
  const { site, point, hasBaseline, limitSet } = form;
  return (
    <p class="quiet">
      {KIND_WORD[point.kind]} at {site.name}. Held against {limitSet.name}
      {hasBaseline ? ' and the accepted baseline' : '; no baseline is accepted here yet'}. Others{' '}
      <Link href={`/sites/${site.siteId}/points/${point.pointId}/readings/live`}>
        see the figures as you type them
      </Link>
      .
    </p>
  );
}
