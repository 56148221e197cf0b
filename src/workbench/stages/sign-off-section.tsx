import { CheckCheck, Undo2 } from 'lucide-react'
import { sureFrom } from '../../anatomy/confidence-word.ts'
import { signOffWords } from '../../anatomy/sign-off.ts'
import { Section } from '../parts/section.tsx'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** The set of landmarks in a sentence, and the user's signature under it; a change of any landmark voids it. */
export function SignOffSection() {
  const { store } = useWorkbench()
  const findings = useWorkbenchState((state) => state.findings)
  const inHand = useWorkbenchState((state) => state.landmarkInHand !== null)
  if (!findings) return null
  const marks = Object.values(findings.landmarks)
  const byHand = marks.filter(({ source }) => source === 'set').length
  const unsure = marks.filter(({ confidence }) => confidence < sureFrom).length
  const { state, key } = findings.signOff
  const sign = (signedLandmarks: string | null, step: string) =>
    store.getState().edit(step, (document) => ({ ...document, signedLandmarks }))
  return (
    <Section title="This set">
      <p className="sign-off" data-state={state}>
        {marks.length} landmarks, {byHand === 0 ? 'none set by hand' : `${byHand} set by hand`},{' '}
        {unsure === 0 ? 'all sure' : `${unsure} less than sure`}: {signOffWords[state]}.
      </p>
      {state === 'signed' ? (
        <button type="button" className="button wide" onClick={() => sign(null, 'take the signature back')}>
          <Undo2 aria-hidden size="1.1em" /> Take the signature back
        </button>
      ) : (
        <button
          type="button"
          className="button wide"
          disabled={inHand}
          onClick={() => sign(key, 'sign off the landmarks')}
        >
          <CheckCheck aria-hidden size="1.1em" /> Sign off these landmarks
        </button>
      )}
    </Section>
  )
}
