import { memo, useMemo, useRef } from 'react'
import { plusMinus } from '../../report/intervals.ts'
import { keepEqual } from '../live/keep-equal.ts'
import { useReason } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { formatQuantity } from '../text/format.ts'
import { notThere } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { type AlignedRow, alignedRows } from './aligned-rows.ts'

/** Two columns, native and planned, with a tick for each on a scale that shows the entered limits. */
export function AlignedBlock() {
  const findings = useWorkbenchState((state) => state.findings)
  const last = useRef<readonly AlignedRow[]>([])
  const rows = useMemo(() => keepEqual(last.current, alignedRows(findings)), [findings])
  last.current = rows
  return (
    <Section title="Aligned" aside="native, planned; band: entered limits">
      <table className="aligned">
        <thead className="visually-hidden">
          <tr>
            <th>Angle</th>
            <th>Scale</th>
            <th>Native</th>
            <th>Planned</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <AlignedLine key={row.label} row={row} />
          ))}
        </tbody>
      </table>
    </Section>
  )
}

const AlignedLine = memo(function AlignedLine({ row }: { readonly row: AlignedRow }) {
  const beyond = row.status !== null && row.status !== 'inside'
  return (
    <tr data-beyond={beyond ? 'yes' : undefined}>
      <th scope="row" title={row.meaning}>
        {row.label}
      </th>
      <td className="aligned-scale">
        <Scale row={row} />
      </td>
      <AlignedNumber value={row.native} path={row.nativePath} />
      <AlignedNumber value={row.planned} path={row.plannedPath} strong />
      <td className="aligned-verdict">
        {beyond ? (
          <span title={`Beyond the entered limit ${row.low} to ${row.high}`}>
            <span aria-hidden="true">▲</span>
            <span className="visually-hidden">beyond the entered limit</span>
          </span>
        ) : null}
      </td>
    </tr>
  )
})

interface AlignedNumberProps {
  readonly value: number | null
  readonly path: string
  readonly strong?: boolean
}

function AlignedNumber({ value, path, strong = false }: AlignedNumberProps) {
  const reason = useReason(path, value)
  const sure = useWorkbenchState((state) => (state.findings ? plusMinus(state.findings, path) : null))
  const interval = sure === null ? undefined : `±${formatQuantity(sure, 'deg')}, 95 %`
  return (
    <td className={`aligned-number ${strong ? 'strong' : ''}`} title={reason ?? interval}>
      <span className={reason ? 'spoiled' : ''}>{value === null ? notThere : formatQuantity(value, 'deg')}</span>
      {reason ? <span className="visually-hidden"> ({reason})</span> : null}
    </td>
  )
}

function Scale({ row }: { readonly row: AlignedRow }) {
  const at = (value: number) => 100 * Math.min(1, Math.max(0, (value - row.from) / (row.to - row.from)))
  return (
    <svg className="scale" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true">
      <rect className="scale-line" x="0" y="4" width="100" height="2" rx="1" />
      {row.low !== null && row.high !== null ? (
        <rect className="scale-band" x={at(row.low)} y="2.5" width={at(row.high) - at(row.low)} height="5" rx="1" />
      ) : null}
      {row.native !== null ? <rect className="scale-native" x={at(row.native) - 1} y="1" width="2" height="8" /> : null}
      {row.planned !== null ? (
        <rect className="scale-planned" x={at(row.planned) - 1} y="0" width="2" height="10" />
      ) : null}
    </svg>
  )
}
