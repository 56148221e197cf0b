import type { CaseDocument } from '../../casefile/document.ts'
import type { Findings } from '../../findings.ts'
import { type Explanation, explain } from '../../report/explanations.ts'
import { Dialog } from '../frame/dialog.tsx'
import { formatNumber } from '../text/format.ts'
import { text } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'
import { Drawing } from './drawings.tsx'
import { drawingOf } from './explained-drawings.ts'

/** One number's model: drawing, formula, what goes in with its value, source, what is left out, where people disagree. */
export function ExplainDialog() {
  const { store } = useWorkbench()
  const path = useWorkbenchState((state) => state.explained)
  const findings = useWorkbenchState((state) => state.findings)
  const document = useWorkbenchState((state) => state.history.present)
  const explanation = path === null ? null : explain(path)
  if (path === null || explanation === null) return null
  const close = () => store.getState().showExplanation(null)
  return (
    <Dialog label={`Explained: ${explanation.title}`} className="explained" onClose={close}>
      <h2 className="dialog-title">{explanation.title}</h2>
      <div className="explained-head">
        <Drawing name={drawingOf(explanation.title)} />
        <p>{explanation.model}</p>
      </div>
      <dl className="explained-parts">
        <Part name="Formula" words={explanation.formula} />
        <dt>Goes in</dt>
        <dd>
          <Inputs explanation={explanation} path={path} findings={findings} document={document} />
        </dd>
        <Part name="Source" words={explanation.source} />
        <Part name="Leaves out" words={explanation.leavesOut} />
        {explanation.caution ? <Part name="Mind" words={explanation.caution} /> : null}
        <Part name="In the findings" words={path} />
      </dl>
      <div className="dialog-buttons">
        <button type="button" className="button" onClick={close}>
          {text.close}
        </button>
      </div>
    </Dialog>
  )
}

function Part({ name, words }: { readonly name: string; readonly words: string }) {
  return (
    <>
      <dt>{name}</dt>
      <dd>{words}</dd>
    </>
  )
}

interface InputsProps {
  readonly explanation: Explanation
  readonly path: string
  readonly findings: Findings | null
  readonly document: CaseDocument
}

function Inputs({ explanation, path, findings, document }: InputsProps) {
  return (
    <ul className="explained-inputs">
      {explanation.inputs.map((input) => {
        const at = withPlaceOf(input, path)
        const value = read(findings, at) ?? read(document, at)
        return (
          <li key={input}>
            {plain(at)}
            {value === null ? '' : `: ${value}`}
          </li>
        )
      })}
    </ul>
  )
}

/** `*` stands for the place in the list that the explained number has itself. */
function withPlaceOf(input: string, path: string): string {
  const steps = path.split('.')
  return input
    .split('.')
    .map((step, k) => (step === '*' ? (steps[k] ?? step) : step))
    .join('.')
}

/** A number, a word, or the numbers and words of a small group; null where the path leads to nothing that can be said. */
function read(of: unknown, path: string): string | null {
  let at: unknown = of
  for (const step of path.split('.')) {
    if (typeof at !== 'object' || at === null) return null
    at = (at as Readonly<Record<string, unknown>>)[step]
  }
  return said(at) ?? group(at)
}

function said(value: unknown): string | null {
  if (typeof value === 'number') return formatNumber(value, Number.isInteger(value) ? 0 : 2)
  if (typeof value === 'string') return value
  return typeof value === 'boolean' ? (value ? 'yes' : 'no') : null
}

function group(value: unknown): string | null {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return null
  const parts = Object.entries(value).flatMap(([key, inner]) => {
    const words = said(inner)
    return words === null ? [] : [`${plain(key)} ${words}`]
  })
  return parts.length === 0 || parts.length > 12 ? null : parts.join(', ')
}

const plain = (name: string): string =>
  name
    .replace(/(Deg|Mm2|Mm3|Mm|Mpa|Kg|N)\b/g, '')
    .replaceAll('.', ', ')
    .replaceAll(/([a-z])([A-Z])/g, '$1 $2')
    .toLowerCase()
