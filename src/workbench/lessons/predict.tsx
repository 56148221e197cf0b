import type { Prediction } from '../../casefile/lesson.ts'
import type { Findings } from '../../findings.ts'
import { rightAnswer } from './fill-words.ts'

interface PredictProps {
  readonly predict: Prediction
  readonly onAnswer: (answer: number) => void
}

/** The question before the answer is shown. */
export function Predict({ predict, onAnswer }: PredictProps) {
  return (
    <div className="lesson-predict">
      <p className="lesson-words">{predict.question}</p>
      {predict.answers.map((answer, k) => (
        <button key={answer} type="button" className="button wide" onClick={() => onAnswer(k)}>
          <kbd>{k + 1}</kbd>
          {answer}
        </button>
      ))}
    </div>
  )
}

interface VerdictProps {
  readonly predict: Prediction | undefined
  readonly answer: number | undefined
  readonly findings: Findings | null
}

/** What was said, and what is so on the knee that is open. */
export function Verdict({ predict, answer, findings }: VerdictProps) {
  if (!predict || answer === undefined) return null
  const right = rightAnswer(predict, findings)
  const verdict =
    right === null ? '' : right === answer ? 'On this knee, so it is.' : `On this knee: ${predict.answers[right]}.`
  return (
    <p className="lesson-verdict">
      You said: {predict.answers[answer]}. {verdict}
    </p>
  )
}
