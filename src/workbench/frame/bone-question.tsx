import type { OpenedMesh } from '../../engine/contract.ts'
import { MM_PER_UNIT } from '../../geometry/units.ts'
import { readMeshFile } from '../live/read-mesh-file.ts'
import { formatCount, formatQuantity } from '../text/format.ts'
import { boneLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

/** Asks what a file's shape and size do not say: which bone it is, or which unit it is in. */
export function BoneQuestionDialog() {
  const question = useWorkbenchState((state) => state.questions[0])
  if (!question) return null
  return question.about === 'unit' ? <UnitQuestion opened={question.opened} /> : <WhichBone opened={question.opened} />
}

function WhichBone({ opened }: { readonly opened: OpenedMesh }) {
  const { store } = useWorkbench()
  const { name } = opened.reference
  const answered = () => store.getState().answered()
  return (
    <Dialog key={opened.key} label={text.whichBone(name)} className="bone-question" onClose={answered}>
      <h2 className="dialog-title">{text.whichBone(name)}</h2>
      <p>
        {text.whichBoneWhy} It has {formatCount(opened.declaredTriangles)} triangles and measures {sizeOf(opened, 1)}{' '}
        mm.
      </p>
      <div className="dialog-buttons">
        {(['femur', 'tibia'] as const).map((bone) => (
          <button
            key={bone}
            type="button"
            className="button strong"
            onClick={() => {
              store.getState().useBone(bone, opened)
              answered()
            }}
          >
            {boneLabels[bone]}
          </button>
        ))}
        <button type="button" className="button" onClick={answered}>
          {text.leaveOut}
        </button>
      </div>
    </Dialog>
  )
}

function UnitQuestion({ opened }: { readonly opened: OpenedMesh }) {
  const workbench = useWorkbench()
  const { store } = workbench
  const { name, sha256 } = opened.reference
  const guess = opened.unitGuess === 'unknown' ? 'mm' : opened.unitGuess
  const answered = () => store.getState().answered()
  const readAs = async (unitFactor: number) => {
    answered()
    const source = store.getState().sources[sha256]
    const again = source && (await readMeshFile(workbench, source, { name, unitFactor, repairs: [] }))
    if (!again) return
    if (again.boneGuess !== 'unknown') store.getState().useBone(again.boneGuess, again)
    else store.getState().ask({ opened: again, about: 'bone' })
  }
  return (
    <Dialog key={opened.key} label={text.whichUnit(name)} className="bone-question" onClose={answered}>
      <h2 className="dialog-title">{text.whichUnit(name)}</h2>
      <p>
        Its numbers say {sizeOf(opened, 1)}: the size of a bone in {unitWords[guess]}, not in millimetres. In{' '}
        {unitWords[guess]} it measures {sizeOf(opened, MM_PER_UNIT[guess])} mm.
      </p>
      <div className="dialog-buttons">
        <button type="button" className="button strong" onClick={() => void readAs(MM_PER_UNIT[guess])}>
          It is in {unitWords[guess]}
        </button>
        <button type="button" className="button" onClick={() => void readAs(1)}>
          It is in millimetres all the same
        </button>
        <button type="button" className="button" onClick={answered}>
          {text.leaveOut}
        </button>
      </div>
    </Dialog>
  )
}

const unitWords = { mm: 'millimetres', cm: 'centimetres', m: 'metres', inch: 'inches' } as const

function sizeOf({ boxMm: [low, high] }: OpenedMesh, factor: number): string {
  return [0, 1, 2].map((k) => formatQuantity((high[k]! - low[k]!) * factor, 'mm').replace(' mm', '')).join(' × ')
}
