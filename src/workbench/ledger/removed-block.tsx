import { memo } from 'react'
import type { BoneName } from '../../anatomy/terms.ts'
import type { Site } from '../../planning/planned.ts'
import type { SiteId } from '../../planning/terms.ts'
import { boundBeside } from '../../report/bounded.ts'
import { plusMinus } from '../../report/intervals.ts'
import { Figure, useReason } from '../parts/figure.tsx'
import { Section } from '../parts/section.tsx'
import { formatNumber, formatSigned } from '../text/format.ts'
import { notThere, siteLabels, text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'

const groups: readonly { readonly label: string; readonly sites: readonly (readonly [SiteId, string])[] }[] = [
  {
    label: 'femur distal',
    sites: [
      ['femur-distal-medial', 'med'],
      ['femur-distal-lateral', 'lat'],
    ],
  },
  {
    label: 'femur posterior',
    sites: [
      ['femur-posterior-medial', 'med'],
      ['femur-posterior-lateral', 'lat'],
    ],
  },
  {
    label: 'tibia',
    sites: [
      ['tibia-medial', 'med'],
      ['tibia-lateral', 'lat'],
    ],
  },
]

/** What each cut takes beside what its component puts back, per compartment, and the bone it costs. */
export function RemovedBlock() {
  const sites = useWorkbenchState((state) => state.findings?.sites) ?? []
  const tallest = Math.max(12, ...sites.flatMap((site) => [site.totalMm, site.componentMm]))
  return (
    <Section title="Removed" aside={text.takenBesidePutBack}>
      <div className="stacks">
        {groups.map((group) => (
          <div key={group.label} className="stack-group">
            <div className="stack-pairs">
              {group.sites.map(([id, label]) => (
                <StackPair key={id} id={id} label={label} site={sites.find((s) => s.id === id)} tallestMm={tallest} />
              ))}
            </div>
            <p className="stack-group-label">{group.label}</p>
          </div>
        ))}
      </div>
      <p className="stack-legend">
        <span className="swatch taken" /> taken
        <span className="swatch kerf" /> kerf
        <span className="swatch worn" /> worn
        <span className="swatch back" /> put back, mm
      </p>
      <p className="bone-cost">
        <span>
          Bone<span className="visually-hidden"> removed</span>
        </span>
        <span>
          femur <RemovedVolume bone="femur" />
        </span>
        <span>
          tibia <RemovedVolume bone="tibia" />
        </span>
      </p>
    </Section>
  )
}

function RemovedVolume({ bone }: { readonly bone: BoneName }) {
  const volume = useWorkbenchState((state) => state.findings?.volumes[`${bone}RemovedMm3`])
  const bound = useWorkbenchState(({ findings }) =>
    findings ? boundBeside(findings, bone, findings.volumes[`${bone}RemovedBoundMm3`]) : undefined,
  )
  return <Figure value={volume} quantity="cm3" path={`volumes.${bone}RemovedMm3`} bound={bound} />
}

interface StackPairProps {
  readonly id: SiteId
  readonly label: string
  readonly site: Site | undefined
  readonly tallestMm: number
}

const StackPair = memo(function StackPair({ id, label, site, tallestMm }: StackPairProps) {
  const reason = useReason(`sites.${id}`, site?.differenceMm)
  const sure = useWorkbenchState((state) => (state.findings ? plusMinus(state.findings, `sites.${id}.totalMm`) : null))
  const tall = (mm: number | undefined) => ({ height: `${(100 * Math.max(0, mm ?? 0)) / tallestMm}%` })
  const verdict = !site || site.within ? null : site.differenceMm > 0 ? 'over' : 'under'
  const said = site
    ? `${siteLabels[id]}: ${formatNumber(site.totalMm)} mm taken, ${formatNumber(site.componentMm)} mm put back, difference ${formatSigned(site.differenceMm)} mm${sure === null ? '' : ` ±${formatNumber(sure)} (95 %)`}${verdict ? `, ${verdict}` : ''}`
    : `${siteLabels[id]}: not known`
  return (
    <div className="stack-pair" data-verdict={verdict ?? undefined} title={reason ?? said}>
      <span className="visually-hidden">
        {said}
        {reason ? ` (${reason})` : ''}
      </span>
      <p aria-hidden="true" className={`stack-difference ${reason ? 'spoiled' : ''}`} data-site={id}>
        {site ? formatSigned(site.differenceMm) : notThere}
      </p>
      <p aria-hidden="true" className="stack-verdict">
        {verdict === 'over' ? '▲ over' : verdict === 'under' ? '▼ under' : ''}
      </p>
      <div aria-hidden="true" className="stack-bars">
        <span className="stack">
          <span className="stack-worn" style={tall(site?.wornMm)} />
          <span className="stack-piece" style={tall(site?.pieceMm)} />
          <span className="stack-kerf" style={tall(site?.kerfMm)} />
        </span>
        <span className="stack">
          <span className="stack-back" style={tall(site?.componentMm)} />
        </span>
      </div>
      <p aria-hidden="true" className="stack-totals">
        <span className="taken-ink">{site ? formatNumber(site.totalMm) : notThere}</span>
        <span className="steel-ink">{site ? formatNumber(site.componentMm) : notThere}</span>
      </p>
      <p aria-hidden="true" className="stack-label">
        {label}
      </p>
    </div>
  )
})
