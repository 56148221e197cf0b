import type { LoadingFindings } from '../../findings.ts'
import { Figure } from '../parts/figure.tsx'
import { formatQuantity } from '../text/format.ts'

interface BearingFiguresProps {
  readonly load: LoadingFindings
  readonly path: string
}

/** Contact of both compartments; a lifted condyle and a loaded edge are said in words. */
export function BearingFigures({ load, path }: BearingFiguresProps) {
  const { bearing } = load
  if (!bearing) return <p className="footnote">Bearing contact is withheld; the warnings say why.</p>
  return (
    <table className="bearing-figures">
      <thead>
        <tr>
          <th scope="col">bearing</th>
          <th scope="col">medial</th>
          <th scope="col">lateral</th>
        </tr>
      </thead>
      <tbody>
        {rows.map(([key, label, quantity]) => (
          <tr key={key}>
            <th scope="row">{label}</th>
            {(['medial', 'lateral'] as const).map((side) => (
              <td key={side}>
                {bearing[side] ? (
                  <Figure value={bearing[side][key]} quantity={quantity} path={`${path}.${side}.${key}`} />
                ) : (
                  'lifted'
                )}
              </td>
            ))}
          </tr>
        ))}
        <tr>
          <th scope="row">Centre, lateral / anterior</th>
          {(['medial', 'lateral'] as const).map((side) => (
            <td key={side}>
              {bearing[side]
                ? bearing[side].centreMm.map((mm) => formatQuantity(mm, 'mm', { signed: true })).join(' / ')
                : '–'}
            </td>
          ))}
        </tr>
        <tr>
          <th scope="row">Thin-layer law</th>
          {(['medial', 'lateral'] as const).map((side) => (
            <td key={side}>
              {bearing[side] ? bearing[side].halfWidthToThickness < 1 ? <strong>▲ patch narrow</strong> : 'holds' : '–'}
            </td>
          ))}
        </tr>
        <tr>
          <th scope="row">Edge</th>
          {(['medial', 'lateral'] as const).map((side) => (
            <td key={side}>{bearing[side] ? bearing[side].edgeLoaded ? <strong>▲ loaded</strong> : 'clear' : '–'}</td>
          ))}
        </tr>
      </tbody>
    </table>
  )
}

const rows = [
  ['loadN', 'Load', 'N'],
  ['peakMpa', 'Peak pressure', 'MPa'],
  ['hertzPeakMpa', 'Peak of two half-spaces', 'MPa'],
  ['meanMpa', 'Mean pressure', 'MPa'],
  ['areaMm2', 'Contact area', 'mm2'],
  ['edgeDistanceMm', 'Distance to the rim', 'mm'],
  ['outerTenthShare', 'Share in the outer tenth', 'percent'],
  ['truncatedShare', 'Cut off by the rim', 'percent'],
] as const
