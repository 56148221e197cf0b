import { useId, useState } from 'react'
import type { BoneName } from '../../anatomy/terms.ts'
import { type LengthUnit, MM_PER_UNIT } from '../../geometry/units.ts'
import type { AchievedOnBone } from '../../planning/achieved-in-frame.ts'
import { achievedRows, registrationWords } from '../../report/achieved.ts'
import { FailureMessage } from '../parts/failure-message.tsx'
import { Section } from '../parts/section.tsx'
import { StudyProgress } from '../studies/study-progress.tsx'
import { useStudy } from '../studies/use-study.ts'
import { boneLabels, cutLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

const units = Object.keys(MM_PER_UNIT) as LengthUnit[]

/** Planned cuts against those found on a mesh of the bone after them, in whatever frame it comes. */
export function AchievedSection() {
  const { store, host } = useWorkbench()
  const study = useStudy('achieved')
  const ready = useWorkbenchState((state) => state.findings !== null)
  const [unit, setUnit] = useState<LengthUnit>('mm')
  const unitId = useId()
  const load = async (bone: BoneName) => {
    const [file] = await host.chooseFiles()
    if (!file) return
    const { present: document } = store.getState().history
    study.run({ document, bone, file, name: file.name, unitFactor: MM_PER_UNIT[unit] })
  }
  return (
    <Section title="Planned against achieved" aside="a bone after its cuts">
      <p className="footnote">
        A resected bone or a mesh from after the operation, STL or PLY. It is laid on the uncut surface first where it
        lies elsewhere.
      </p>
      <div className="choice beside">
        <label htmlFor={unitId}>Unit of the file</label>
        <select id={unitId} value={unit} onChange={(event) => setUnit(event.target.value as LengthUnit)}>
          {units.map((name) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
        </select>
      </div>
      {(['femur', 'tibia'] as const).map((bone) => (
        <button
          key={bone}
          type="button"
          className="button wide"
          disabled={!ready || study.progress !== null}
          onClick={() => void load(bone)}
        >
          {boneLabels[bone]} after the cuts…
        </button>
      ))}
      <StudyProgress progress={study.progress} onCancel={study.cancel} />
      {study.failure ? <FailureMessage failure={study.failure} /> : null}
      {study.output && !study.failure ? <Compared achieved={study.output} /> : null}
    </Section>
  )
}

function Compared({ achieved }: { readonly achieved: AchievedOnBone }) {
  return (
    <div className="achieved">
      <p className="footnote">{registrationWords(achieved)}</p>
      {achievedRows(achieved).map((row) => (
        <p key={row.cut}>
          <strong>{row.cut}</strong>: {row.angles}
          {row.deeper === '–' ? '' : `; taken more: ${row.deeper}`} <span className="footnote">({row.face})</span>
        </p>
      ))}
      {achieved.missing.map((id) => (
        <p key={id}>{cutLabels[id]}: no flat face was found near the plan.</p>
      ))}
      <p className="footnote">Achieved less planned.</p>
    </div>
  )
}
