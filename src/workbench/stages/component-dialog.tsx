import { useState } from 'react'
import { type Failure, fail } from '../../failure.ts'
import { type ComponentTable, columnsOf, familyOf, tableOf } from '../../implants/component-table.ts'
import { type OwnFamily, ownFamilyId } from '../../implants/families.ts'
import { componentCsv, componentJson } from '../../report/component-file.ts'
import { parseComponents } from '../../studies/component-file.ts'
import { Dialog } from '../frame/dialog.tsx'
import { FailureMessage } from '../parts/failure-message.tsx'
import { Segmented } from '../parts/segmented.tsx'
import { parseNumber } from '../text/format.ts'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { familyInUse } from './component-options.ts'

type Part = 'femoral' | 'tibial' | 'inserts'

interface Draft {
  readonly table: Pick<ComponentTable, 'procedure' | 'name' | 'bearing'>
  /** As typed: size first, then the dimensions in the order of the columns. */
  readonly femoral: readonly (readonly string[])[]
  readonly tibial: readonly (readonly string[])[]
  readonly inserts: readonly (readonly string[])[]
}

/** The component family as a table: typed over, read from a file, saved to one, and planned with once it can be built. */
export function ComponentDialog() {
  const { store, host } = useWorkbench()
  const procedure = useWorkbenchState((state) => state.history.present.procedure)
  const implants = useWorkbenchState((state) => state.history.present.implants)
  const [draft, setDraft] = useState(() => draftOf(familyInUse({ procedure, implants })))
  const [part, setPart] = useState<Part>('femoral')
  const [failure, setFailure] = useState<Failure | null>(null)
  const close = () => store.getState().showStudy(null)
  const withFamily = (use: (family: OwnFamily) => void) => {
    const family = familyFrom(draft)
    setFailure(family.ok ? null : family.failure)
    if (family.ok) use(family.value)
  }
  const apply = () =>
    withFamily((own) => {
      store.getState().edit('component table', (document) => ({
        ...document,
        implants: { family: ownFamilyId, femurSize: null, tibiaSize: null, insertMm: null, own },
      }))
      close()
    })
  const load = async () => {
    const [file] = await host.chooseFiles('table')
    if (!file) return
    const read = parseComponents(await file.text())
    if (!read.ok) return setFailure(read.failure)
    const loaded = draftOf(read.value)
    if (loaded.table.procedure !== procedure)
      return setFailure(fail('case/syntax', `This table is for a ${words[loaded.table.procedure]}.`).failure)
    setFailure(null)
    setDraft(loaded)
  }
  return (
    <Dialog label="Component table" className="study wide-study" onClose={close}>
      <h2 className="dialog-title">Component table: {words[procedure]}</h2>
      <p className="footnote">
        Invented and generic until you type your own numbers. Lengths in mm, tilt in degrees. Thickness at the sites is
        measured on the solid that these numbers make.
      </p>
      <Segmented
        label="Part"
        hideLabel
        columns={3}
        options={[
          { value: 'femoral', label: 'Femoral' },
          { value: 'tibial', label: 'Tibial' },
          { value: 'inserts', label: 'Inserts' },
        ]}
        value={part}
        onChange={setPart}
      />
      <TableEditor
        heads={headsOf(draft, part)}
        rows={draft[part]}
        onChange={(rows) => setDraft({ ...draft, [part]: rows })}
      />
      {failure ? <FailureMessage failure={failure} /> : null}
      <div className="dialog-buttons">
        <button type="button" className="button strong" onClick={apply}>
          Plan with it
        </button>
        <button type="button" className="button" onClick={() => void load()}>
          Load a table…
        </button>
        <button
          type="button"
          className="button"
          onClick={() => withFamily((own) => void host.save('components.csv', componentCsv(own), 'text/csv'))}
        >
          Save as CSV…
        </button>
        <button
          type="button"
          className="button"
          onClick={() => withFamily((own) => void host.save('components.json', componentJson(own), 'application/json'))}
        >
          Save as JSON…
        </button>
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}

const words = { total: 'total knee', 'medial-partial': 'medial partial knee' } as const

const plain = (column: string): string =>
  column
    .replace(/Mm$/, '')
    .replace(/Deg$/, ' °')
    .replaceAll(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
    .replace(/\b(ap|ml)\b/g, (m) => m.toUpperCase())

const headsOf = ({ table }: Draft, part: Part): readonly string[] =>
  part === 'inserts' ? ['thickness'] : ['size', ...columnsOf(table.procedure, part).map(plain)]

function draftOf(family: OwnFamily): Draft {
  const table = tableOf(family)
  const rows = (part: 'femoral' | 'tibial') =>
    table[part].map(({ size, values }) => [
      String(size),
      ...columnsOf(table.procedure, part).map((name) => String(Number(values[name]?.toPrecision(6)))),
    ])
  return { table, femoral: rows('femoral'), tibial: rows('tibial'), inserts: table.insertsMm.map((mm) => [String(mm)]) }
}

function familyFrom({ table, femoral, tibial, inserts }: Draft) {
  const number = (typed: string | undefined) => parseNumber(typed ?? '') ?? Number.NaN
  const rows = (part: 'femoral' | 'tibial', typed: readonly (readonly string[])[]) =>
    typed.map(([size, ...cells]) => ({
      size: number(size),
      values: Object.fromEntries(columnsOf(table.procedure, part).map((name, k) => [name, number(cells[k])])),
    }))
  return familyOf({
    ...table,
    name: table.name.endsWith(', edited') ? table.name : `${table.name}, edited`,
    femoral: rows('femoral', femoral),
    tibial: rows('tibial', tibial),
    insertsMm: inserts.map(([mm]) => number(mm)),
  })
}

interface TableEditorProps {
  readonly heads: readonly string[]
  readonly rows: readonly (readonly string[])[]
  readonly onChange: (rows: readonly (readonly string[])[]) => void
}

function TableEditor({ heads, rows, onChange }: TableEditorProps) {
  const last = rows.at(-1)
  const another = () => {
    const [first = '', ...rest] = last ?? heads.map(() => '')
    onChange([...rows, [String((parseNumber(first) ?? 0) + 1), ...rest]])
  }
  return (
    <div className="component-table">
      <table>
        <thead>
          <tr>
            {heads.map((head) => (
              <th key={head} scope="col" className="component-head">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {rows.map((row, r) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: a row is its place in the table
            <tr key={r}>
              {heads.map((head, c) => (
                <td key={head}>
                  <input
                    aria-label={`${head}, row ${r + 1}`}
                    inputMode="decimal"
                    value={row[c] ?? ''}
                    aria-invalid={parseNumber(row[c] ?? '') === null || undefined}
                    onChange={(event) =>
                      onChange(
                        rows.map((old, i) => (i === r ? old.map((v, k) => (k === c ? event.target.value : v)) : old)),
                      )
                    }
                  />
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
      <div className="dialog-buttons">
        <button type="button" className="button chip" onClick={another}>
          Add a row
        </button>
        <button
          type="button"
          className="button chip"
          disabled={rows.length < 2}
          onClick={() => onChange(rows.slice(0, -1))}
        >
          Remove the last
        </button>
      </div>
    </div>
  )
}
