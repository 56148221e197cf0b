import { formatCount, formatQuantity } from '../text/format.ts'
import { boneLabels, text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Dialog } from './dialog.tsx'

/** Asks which bone a file is when its shape does not say. */
export function BoneQuestionDialog() {
  const { store } = useWorkbench()
  const question = useWorkbenchState((state) => state.questions[0])
  if (!question) return null
  const { opened } = question
  const [low, high] = opened.boxMm
  const size = [0, 1, 2].map((k) => formatQuantity(high[k]! - low[k]!, 'mm').replace(' mm', '')).join(' × ')
  const answered = () => store.getState().answered()
  return (
    <Dialog key={opened.sha256} label={text.whichBone(opened.name)} className="bone-question" onClose={answered}>
      <h2 className="dialog-title">{text.whichBone(opened.name)}</h2>
      <p>
        {text.whichBoneWhy} It has {formatCount(opened.declaredTriangles)} triangles and measures {size} mm.
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
