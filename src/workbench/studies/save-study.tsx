import { type CsvFormat, csvFormats } from '../../report/csv-format.ts'
import { useWorkbench } from '../workbench.ts'
import { pngOfSvg } from './svg-to-png.ts'

interface SaveStudyProps {
  /** Of the files, without ending. */
  readonly name: string
  /** Made when asked for; null while there is nothing to save. */
  readonly csv: ((format: CsvFormat) => string) | null
  readonly json: (() => string) | null
  readonly svg: string | null
}

/** A finished study as table, document, drawing or picture. */
export function SaveStudy({ name, csv, json, svg }: SaveStudyProps) {
  const { store, host } = useWorkbench()
  const savePng = async () => {
    const png = svg === null ? null : await pngOfSvg(svg, 2)
    if (png) await host.save(`${name}.png`, png, 'image/png')
  }
  const ways = [
    ['CSV', csv && (() => host.save(`${name}.csv`, csv(csvFormats[store.getState().csvFormat]), 'text/csv'))],
    ['JSON', json && (() => host.save(`${name}.json`, json(), 'application/json'))],
    ['SVG', svg === null ? null : () => host.save(`${name}.svg`, svg, 'image/svg+xml')],
    ['PNG', svg === null ? null : savePng],
  ] as const
  return ways.map(([kind, save]) => (
    <button key={kind} type="button" className="button" disabled={!save} onClick={() => void save?.()}>
      Save as {kind}…
    </button>
  ))
}
