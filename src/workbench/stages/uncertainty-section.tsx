import { defaultMeshAccuracyMm, defaultSdMm, sdBasis } from '../../anatomy/landmark-sd.ts'
import { landmarkIds } from '../../anatomy/terms.ts'
import { Section } from '../parts/section.tsx'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { CaseNumberField } from './case-number-field.tsx'
import type { DocumentField } from './document-field.ts'

const accuracy: DocumentField = {
  label: 'Surface within ±',
  step: 'surface accuracy',
  quantity: 'mm',
  by: 0.1,
  min: 0,
  max: 5,
  note: '95 %; assumed unless entered',
  initial: defaultMeshAccuracyMm,
  read: (document) => document.uncertainty.meshAccuracyMm,
  write: (document, value) => ({
    ...document,
    uncertainty: { ...document.uncertainty, meshAccuracyMm: value ?? defaultMeshAccuracyMm },
  }),
}

const sdFields: readonly DocumentField[] = landmarkIds.map((id) => ({
  label: landmarkLabels[id],
  step: `scatter of ${landmarkLabels[id].toLowerCase()}`,
  quantity: 'mm',
  by: 0.1,
  min: 0,
  max: 20,
  note: defaultSdMm[id].where,
  initial: null,
  read: (document) => document.uncertainty.sdMm[id],
  shown: (findings) => findings.landmarks[id]?.sdMm ?? null,
  write: (document, value) => ({
    ...document,
    uncertainty: { ...document.uncertainty, sdMm: { ...document.uncertainty.sdMm, [id]: value } },
  }),
}))

/** What the intervals are made of, what is not in them, and the scatter taken for surface and landmarks. */
export function UncertaintySection() {
  const uncertainty = useWorkbenchState((state) => state.findings?.uncertainty)
  return (
    <Section title="How sure" aside="1 SD, mm">
      <CaseNumberField field={accuracy} />
      <details className="angle">
        <summary>
          <span className="angle-name">Scatter of each landmark</span>
        </summary>
        <div className="angle-body">
          <p>
            1 SD, by a table ({sdBasis}) and more where the landmark is doubtful on this surface; what is entered counts
            alone.
          </p>
          {sdFields.map((field) => (
            <CaseNumberField key={field.step} field={field} />
          ))}
        </div>
      </details>
      <details className="angle">
        <summary>
          <span className="angle-name">What the intervals hold</span>
        </summary>
        <div className="angle-body">
          {uncertainty ? (
            <>
              <p>
                {uncertainty.draws} draws, seed {uncertainty.seed}. In them:
              </p>
              <ul>
                {uncertainty.includes.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
              <p>Not in them:</p>
              <ul>
                {uncertainty.excludes.map((line) => (
                  <li key={line}>{line}</li>
                ))}
              </ul>
            </>
          ) : (
            <p>Intervals follow when the hand rests.</p>
          )}
        </div>
      </details>
    </Section>
  )
}
