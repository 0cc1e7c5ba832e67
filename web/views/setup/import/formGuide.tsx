import type { ImportForm } from '../../../../api/schemas/siteImport.ts';
import { ScrollRegion } from '../../../parts/scrollRegion.tsx';
import { saveFile } from '../../../saveFile.ts';

const FILE_WORD = { sites: 'Sites', points: 'Points' } as const;
const NEEDED_WORD = { always: 'always', new: 'for a new one', no: 'no' } as const;

/** What the two files look like, with templates to fill in. */
export function FormGuide({ form }: { form: ImportForm }) {
  return (
    <section class="panel report" aria-labelledby="form-title">
      <h2 id="form-title">The form of the files</h2>
      <ul class="step-advice">
        <li>CSV in UTF-8, with a header row. Cells are divided by commas, semicolons or tabs.</li>
        <li>Columns may come in any order; those that you don’t need may be left out.</li>
        <li>Numbers have a decimal point and no unit. A comma in a number is refused, not guessed at.</li>
        <li>Sites and points are known by name. Bringing a file in again adds nothing twice.</li>
        <li>A site with a fault in any of its rows is left out as a whole; the others go in.</li>
      </ul>
      {form.files.map(({ file, columns, template }) => (
        <details key={file}>
          <summary>
            {FILE_WORD[file]}: {columns.length} columns
          </summary>
          <ScrollRegion label={`Columns of the file of ${file}`}>
            <table>
              <thead>
                <tr>
                  <th>Column</th>
                  <th>Needed</th>
                  <th>What it holds</th>
                </tr>
              </thead>
              <tbody>
                {columns.map(({ name, needed, words }) => (
                  <tr key={name}>
                    <td class="mono">{name}</td>
                    <td>{NEEDED_WORD[needed]}</td>
                    <td>{words}</td>
                  </tr>
                ))}
              </tbody>
            </table>
          </ScrollRegion>
          <div class="actions">
            <button
              type="button"
              class="small"
              aria-label={`Save a template of the file of ${file}`}
              onClick={() => saveFile(`levelkeep-${file}.csv`, template)}
            >
              Save a template with an example
            </button>
          </div>
        </details>
      ))}
    </section>
  );
}
