import type { CaseDocument } from '../../casefile/document.ts'
import type { MeasuredCut } from '../../planning/measured-pieces.ts'
import type { EdgeReadingId, SiteId } from '../../planning/terms.ts'
import { Section } from '../parts/section.tsx'
import { formatQuantity } from '../text/format.ts'
import { siteLabels } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { CaseNumberField } from './case-number-field.tsx'
import type { DocumentField } from './document-field.ts'

type ReadingId = SiteId | EdgeReadingId

const edgeLabels: Readonly<Record<EdgeReadingId, string>> = {
  'tibia-front': 'Tibia, front',
  'tibia-back': 'Tibia, back',
  'femur-distal-front': 'Femur distal, front',
  'femur-distal-back': 'Femur distal, back',
}

const readingField = (id: ReadingId, label: string): DocumentField => ({
  label,
  step: `measured ${label.toLowerCase()}`,
  quantity: 'mm',
  by: 0.1,
  min: 0,
  max: 60,
  initial: null,
  read: (document) => document.measured.pieceMm[id] ?? null,
  write: (document, value): CaseDocument => {
    const { [id]: _old, ...rest } = document.measured.pieceMm
    return {
      ...document,
      measured: { ...document.measured, pieceMm: value === null ? rest : { ...rest, [id]: value } },
    }
  },
})

const siteFields = (Object.keys(siteLabels) as SiteId[]).map((id) => readingField(id, siteLabels[id]))
const edgeFields = (Object.keys(edgeLabels) as EdgeReadingId[]).map((id) => readingField(id, edgeLabels[id]))
const sdField: DocumentField = {
  label: 'Uncertainty of a reading',
  step: 'reading uncertainty',
  quantity: 'mm',
  by: 0.05,
  min: 0.05,
  max: 3,
  note: '1 SD, assumed',
  initial: 0.25,
  read: (document) => document.measured.sdMm,
  write: (document, value) => ({ ...document, measured: { ...document.measured, sdMm: value ?? 0.25 } }),
}

/** Thickness measured on the pieces, and where the cuts went by it. */
export function MeasuredSection() {
  const measured = useWorkbenchState((state) => state.findings?.measured)
  return (
    <Section title="Measured pieces" aside="type what the caliper reads">
      {[...siteFields, ...edgeFields, sdField].map((field) => (
        <CaseNumberField key={field.step} field={field} />
      ))}
      {measured?.cuts.map((cut) => (
        <Achieved key={cut.id} cut={cut} />
      ))}
    </Section>
  )
}

const cutWords = { tibia: 'Tibia', 'femur-distal': 'Femur, distal', 'femur-posterior': 'Femur, posterior' } as const
const tiltWords = { tibia: 'varus', 'femur-distal': 'valgus', 'femur-posterior': 'external rotation' } as const

function Achieved({ cut }: { readonly cut: MeasuredCut }) {
  const recuts = Object.entries(cut.recutMm).filter(([, mm]) => Math.abs(mm) > 0.05)
  return (
    <div className="achieved">
      <p>
        <strong>
          {cutWords[cut.id]}: {cut.verdict}
        </strong>
      </p>
      <p>
        {formatQuantity(cut.deeperMm, 'mm', { signed: true })} deeper (± {formatQuantity(cut.deeperSdMm, 'mm')})
        {cut.tilt
          ? `, ${tiltWords[cut.id]} ${formatQuantity(cut.tilt.achieved, 'deg')} instead of ${formatQuantity(cut.tilt.planned, 'deg')} (± ${formatQuantity(cut.tilt.sd, 'deg')})`
          : ''}
      </p>
      {cut.verdict === 'recut' && recuts.length > 0 ? (
        <p>
          A recut to the rehearsal still takes{' '}
          {recuts.map(([site, mm]) => `${site.replaceAll('-', ' ')} ${formatQuantity(mm, 'mm')}`).join(', ')}.
        </p>
      ) : null}
      {cut.notObservable.length > 0 ? (
        <p className="footnote">
          {cut.notObservable.map((n) => n.angle).join(' and ')}: not observable from these readings.
        </p>
      ) : null}
    </div>
  )
}
