import { useId, useRef, useState } from 'react'
import type { LessonStep } from '../../casefile/lesson.ts'
import { Dialog } from '../frame/dialog.tsx'
import { text } from '../text/messages.ts'
import { useWorkbenchState } from '../workbench.ts'
import { fillWords } from './fill-words.ts'
import { quotable } from './quotable.ts'
import { formOf, type StepForm, stepOf } from './step-text.ts'

interface StepDialogProps {
  readonly step: LessonStep
  readonly onChange: (step: LessonStep) => void
  readonly onClose: () => void
}

/** What is said at a step, what it changes, what is asked before the answer is shown. */
export function StepDialog({ step, onChange, onClose }: StepDialogProps) {
  const [form, setForm] = useState(() => formOf(step))
  const [wrong, setWrong] = useState<string | null>(null)
  const words = useRef<HTMLTextAreaElement>(null)
  const findings = useWorkbenchState((state) => state.findings)
  const set = (key: keyof StepForm) => (value: string) => setForm({ ...form, [key]: value })
  const keep = () => {
    const next = stepOf(step, form)
    if (typeof next === 'string') {
      setWrong(next)
      return
    }
    onChange(next)
    onClose()
  }
  const quote = (path: string) => {
    const at = words.current?.selectionStart ?? form.words.length
    set('words')(`${form.words.slice(0, at)}{{${path}}}${form.words.slice(at)}`)
  }
  return (
    <Dialog label={text.stepDialog} className="step-dialog" onClose={onClose}>
      <h2 className="dialog-title">{text.stepDialog}</h2>
      <TextField label="Title" value={form.title} onChange={set('title')} />
      <TextField label="Words" value={form.words} onChange={set('words')} rows={4} area={words} />
      <label className="field-label quote-number">
        {text.quoteNumber}
        <select value="" onChange={(event) => quote(event.target.value)}>
          <option value="">–</option>
          {quotable.map(([path, name]) => (
            <option key={path} value={path}>
              {name}
            </option>
          ))}
        </select>
      </label>
      <p className="field-note" aria-live="polite">
        {text.onThisKnee} {fillWords(form.words, findings)}
      </p>
      <TextField label="Speaker notes" value={form.notes} onChange={set('notes')} rows={2} />
      <details open={form.question !== ''}>
        <summary>{text.askFirst}</summary>
        <TextField label="Question" value={form.question} onChange={set('question')} />
        <TextField label="Answers, one a line" value={form.answers} onChange={set('answers')} rows={3} />
        <TextField label="Number that decides" value={form.rightPath} onChange={set('rightPath')} list={quotable} />
        <TextField label="The first answer above …, the second above …" value={form.above} onChange={set('above')} />
      </details>
      <details open={form.ask !== ''}>
        <summary>{text.askOwnCut}</summary>
        <TextField label="What to do" value={form.ask} onChange={set('ask')} />
        <TextField
          label="Numbers, one a line: path = value to begin with"
          value={form.fields}
          onChange={set('fields')}
          rows={3}
        />
      </details>
      <details>
        <summary>{text.stepEdits}</summary>
        <TextField label="Changes, one a line: path = value" value={form.edits} onChange={set('edits')} rows={5} />
      </details>
      {wrong ? (
        <p className="failure" role="alert">
          {wrong}
        </p>
      ) : null}
      <div className="dialog-buttons">
        <button type="button" className="button strong" onClick={keep}>
          {text.keepStep}
        </button>
        <button type="button" className="button" onClick={onClose}>
          {text.cancel}
        </button>
      </div>
    </Dialog>
  )
}

interface TextFieldProps {
  readonly label: string
  readonly value: string
  readonly onChange: (value: string) => void
  readonly rows?: number
  readonly area?: React.RefObject<HTMLTextAreaElement | null>
  readonly list?: readonly (readonly [string, string])[]
}

function TextField({ label, value, onChange, rows, area, list }: TextFieldProps) {
  const id = useId()
  const shared = { id, value, className: 'typed-text', spellCheck: true } as const
  return (
    <div className="text-field">
      <label htmlFor={id} className="field-label">
        {label}
      </label>
      {rows ? (
        <textarea {...shared} ref={area} rows={rows} onChange={(event) => onChange(event.target.value)} />
      ) : (
        <input {...shared} list={list ? `${id}-list` : undefined} onChange={(event) => onChange(event.target.value)} />
      )}
      {list ? (
        <datalist id={`${id}-list`}>
          {list.map(([path, name]) => (
            <option key={path} value={path}>
              {name}
            </option>
          ))}
        </datalist>
      ) : null}
    </div>
  )
}
