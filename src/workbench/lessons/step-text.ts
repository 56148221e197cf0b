import type { LessonEdit, LessonStep, OwnCut, Prediction } from '../../casefile/lesson.ts'
import { ownCutPaths } from '../../report/own-cut-score.ts'

/** A step as it is typed in a form. */
export interface StepForm {
  readonly title: string
  readonly words: string
  readonly notes: string
  /** One `path = value` a line, as `--set` takes them. */
  readonly edits: string
  readonly question: string
  /** One answer a line. */
  readonly answers: string
  readonly rightPath: string
  /** One number less than answers, falling. */
  readonly above: string
  readonly ask: string
  /** One `path = number to begin with` a line. */
  readonly fields: string
}

export function formOf(step: LessonStep): StepForm {
  return {
    title: step.title,
    words: step.words,
    notes: step.notes ?? '',
    edits: step.edits.map(({ path, value }) => `${path} = ${value === null ? 'auto' : value}`).join('\n'),
    question: step.predict?.question ?? '',
    answers: step.predict?.answers.join('\n') ?? '',
    rightPath: step.predict?.right.path ?? '',
    above: step.predict?.right.above.join(', ') ?? '',
    ask: step.ownCut?.ask ?? '',
    fields: step.ownCut?.fields.map(({ path, from }) => `${path} = ${from}`).join('\n') ?? '',
  }
}

/** The step with what the form says, or the sentence that says what is wrong with it. */
export function stepOf(step: LessonStep, form: StepForm): LessonStep | string {
  const { notes: _notes, predict: _predict, ownCut: _ownCut, ...rest } = step
  const predict = predictionOf(form)
  if (typeof predict === 'string') return predict
  const ownCut = ownCutOf(form)
  if (typeof ownCut === 'string') return ownCut
  const edits = pairs(form.edits)
  if (edits === null) return 'Each change is one line: path = value.'
  return {
    ...rest,
    title: form.title.trim() || step.title,
    words: form.words.trim(),
    edits: edits.map(([path, value]): LessonEdit => ({ path, value: typedValue(value) })),
    ...(form.notes.trim() ? { notes: form.notes.trim() } : {}),
    ...(predict ? { predict } : {}),
    ...(ownCut ? { ownCut } : {}),
  }
}

function predictionOf({ question, answers, rightPath, above }: StepForm): Prediction | null | string {
  if (question.trim() === '') return null
  const given = lines(answers)
  const thresholds = above
    .split(/[;,]\s+|;/)
    .map((part) => part.trim())
    .filter(Boolean)
    .map((part) => Number(part.replace('−', '-')))
  if (given.length < 2) return 'A question needs two answers or more, one a line.'
  if (rightPath.trim() === '') return 'Say which number decides the answer.'
  if (thresholds.length !== given.length - 1 || thresholds.some((n) => !Number.isFinite(n)))
    return `Give ${given.length - 1} threshold${given.length > 2 ? 's' : ''} for ${given.length} answers, separated by a comma and a space.`
  return { question: question.trim(), answers: given, right: { path: rightPath.trim(), above: thresholds } }
}

function ownCutOf({ ask, fields }: StepForm): OwnCut | null | string {
  if (ask.trim() === '' && fields.trim() === '') return null
  const given = pairs(fields)
  if (ask.trim() === '') return 'Say what the trainee is asked to do.'
  if (!given || given.length === 0) return 'Each number of the own cut is one line: path = value to begin with.'
  const unknown = given.find(([path, from]) => !ownCutPaths.includes(path) || !Number.isFinite(Number(from)))
  if (unknown) return `${unknown[0]} cannot be asked for. Possible: ${ownCutPaths.join(', ')}.`
  return { ask: ask.trim(), fields: given.map(([path, from]) => ({ path, from: Number(from) })) }
}

const lines = (text: string): string[] =>
  text
    .split('\n')
    .map((line) => line.trim())
    .filter(Boolean)

function pairs(text: string): (readonly [string, string])[] | null {
  const found = lines(text).map((line) => {
    const at = line.indexOf('=')
    return at < 1
      ? null
      : ([
          line.slice(0, at).trim(),
          line
            .slice(at + 1)
            .trim()
            .replace('−', '-'),
        ] as const)
  })
  return found.includes(null) ? null : (found as (readonly [string, string])[])
}

function typedValue(text: string): LessonEdit['value'] {
  if (text === '' || text === 'auto' || text === 'null') return null
  if (text === 'true' || text === 'false') return text === 'true'
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(text) ? Number(text) : text
}
