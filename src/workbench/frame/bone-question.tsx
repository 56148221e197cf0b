import { type BoneName, companionNames } from '../../anatomy/terms.ts'
import type { OpenedMesh } from '../../engine/contract.ts'
import { unitChoices } from '../../geometry/units.ts'
import { placeMeshes } from '../live/open-files.ts'
import { placeCompanions } from '../live/place-companions.ts'
import { readAgain } from '../live/read-again.ts'
import { readMeshFile } from '../live/read-mesh-file.ts'
import { formatCount, formatQuantity } from '../text/format.ts'
import { boneLabels, companionLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

/** Asks what a file's shape and size do not say: which bone it is, or which unit it is in. */
export function BoneQuestionDialog() {
  const question = useWorkbenchState((state) => state.questions[0])
  if (!question) return null
  return question.about === 'unit' ? (
    <UnitQuestion opened={question.opened} bone={question.bone} />
  ) : (
    <WhichBone opened={question.opened} />
  )
}

function WhichBone({ opened }: { readonly opened: OpenedMesh }) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { name } = opened.reference
  const answered = () => store.getState().answered()
  return (
    <Dialog key={opened.key} label={text.whichBone(name)} className="bone-question" onClose={answered}>
      <h2 className="dialog-title">{text.whichBone(name)}</h2>
      <p>
        {text.whichBoneWhy} It has {formatCount(opened.declaredTriangles)} triangles and measures {sizeOf(opened)} mm.
      </p>
      <div className="dialog-buttons">
        {(['femur', 'tibia'] as const).map((bone) => (
          <button
            key={bone}
            type="button"
            className="button strong"
            onClick={() => {
              answered()
              store.getState().useBone(bone, opened)
              void placeCompanions(workbench, [])
            }}
          >
            {boneLabels[bone]}
          </button>
        ))}
      </div>
      <p>{text.companionWhy}</p>
      <div className="dialog-buttons">
        {companionNames.map((part) => (
          <button
            key={part}
            type="button"
            className={`button ${opened.companionGuess === part ? 'strong' : ''}`}
            onClick={() => {
              answered()
              void placeCompanions(workbench, [{ part, opened }])
            }}
          >
            {companionLabels[part]}
          </button>
        ))}
      </div>
      <div className="dialog-buttons">
        <button type="button" className="button" onClick={answered}>
          {text.leaveOut}
        </button>
      </div>
    </Dialog>
  )
}

function UnitQuestion({ opened, bone }: { readonly opened: OpenedMesh; readonly bone: BoneName | undefined }) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { name, sha256, unitFactor } = opened.reference
  const extents = opened.extentsInFile
  const answered = () => store.getState().answered()
  const readAs = async (factor: number) => {
    answered()
    if (bone !== undefined) {
      // Lengths of earlier repairs would mean something else in another unit.
      if (factor !== unitFactor) await readAgain(workbench, bone, 'unit', { unitFactor: factor, repairs: [] })
      return
    }
    const source = store.getState().sources[sha256]
    const again = source && (await readMeshFile(workbench, source, { name, unitFactor: factor, repairs: [] }))
    if (again) await placeMeshes(workbench, [again], { unitSaid: true })
  }
  const choices = unitChoices(extents, bone ?? opened.boneGuess)
  return (
    <Dialog key={opened.key} label={text.whichUnit(name)} className="bone-question" onClose={answered}>
      <h2 className="dialog-title">{text.whichUnit(name)}</h2>
      <p>{text.whichUnitWhy}</p>
      <ul className="unit-choices">
        {choices.map(({ unit, factor, extentsMm, plausible }) => (
          <li key={unit}>
            <button
              type="button"
              className={`button ${plausible ? 'strong' : ''}`}
              aria-pressed={bone !== undefined && factor === unitFactor}
              onClick={() => void readAs(factor)}
            >
              {unitWords[unit]}
            </button>
            <span>
              {extentsMm.map(lengthWords).join(' × ')} mm
              {plausible ? <em> the size of a bone</em> : null}
            </span>
          </li>
        ))}
      </ul>
      <div className="dialog-buttons">
        <button type="button" className="button" onClick={answered}>
          {bone === undefined ? text.leaveOut : text.leaveAsIs}
        </button>
      </div>
    </Dialog>
  )
}

const unitWords = { mm: 'Millimetres', cm: 'Centimetres', m: 'Metres', inch: 'Inches' } as const

/** Three figures: nobody knows a bone from its tenths, and the wrong unit makes very long ones. */
const lengthWords = (mm: number): string =>
  mm >= 100 ? formatCount(Math.round(mm)) : String(Number(mm.toPrecision(3)))

function sizeOf({ boxMm: [low, high] }: OpenedMesh): string {
  return [0, 1, 2].map((k) => formatQuantity(high[k]! - low[k]!, 'mm').replace(' mm', '')).join(' × ')
}
