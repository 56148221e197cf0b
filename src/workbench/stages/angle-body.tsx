import type { AngleAlternative, AngleDefinition, TypeAlternative } from '../../anatomy/angle-definitions.ts'
import { budgetLines } from '../../report/intervals.ts'
import { useReason } from '../parts/figure.tsx'
import { formatQuantity } from '../text/format.ts'
import { landmarkLabels } from '../text/messages.ts'
import { useWorkbench, useWorkbenchState } from '../workbench.ts'

/** What one angle rests on: definition, interval with its budget, other definitions, normal range. */
export function AngleBody({ path, isNumber = true }: { readonly path: string; readonly isNumber?: boolean }) {
  const findings = useWorkbenchState((state) => state.findings)
  const definition = findings?.definitions[path]
  const reason = useReason(path, null)
  if (!findings || !definition) return <p className="angle-body footnote">{reason}</p>
  const interval = findings.intervals?.[path]
  const budget = budgetLines(findings, path)
  const { normal } = definition
  return (
    <div className="angle-body">
      <p>{sentence(definition.definition)}</p>
      <RestsOn landmarks={definition.landmarks} />
      {interval ? (
        <>
          <p>
            95 %: {formatQuantity(interval[0], 'deg')} to {formatQuantity(interval[1], 'deg')}. By itself each would
            give:
          </p>
          <table className="budget">
            <tbody>
              {budget.map(({ words, plusMinus, share }) => (
                <tr key={words}>
                  <th scope="row">{words}</th>
                  <td className="budget-bar" aria-hidden="true">
                    <span style={{ width: `${100 * share}%` }} />
                  </td>
                  <td>±{formatQuantity(plusMinus, 'deg')}</td>
                </tr>
              ))}
            </tbody>
          </table>
        </>
      ) : isNumber ? (
        <p>The interval follows when the hand rests.</p>
      ) : null}
      {definition.alternatives.length > 0 ? (
        <ul className="alternatives" aria-label="By other definitions">
          {definition.alternatives.map((alternative) => (
            <Alternative
              key={alternative.definition}
              alternative={alternative}
              shown={formatQuantity(alternative.valueDeg, 'deg')}
            />
          ))}
        </ul>
      ) : null}
      {definition.types ? (
        <ul className="alternatives" aria-label="By other definitions">
          {definition.types.map((alternative) => (
            <Alternative key={alternative.definition} alternative={alternative} shown={alternative.type} />
          ))}
        </ul>
      ) : null}
      <p hidden={!isNumber}>
        {normal
          ? `Healthy adults: ${formatQuantity(normal.lowDeg, 'deg')} to ${formatQuantity(normal.highDeg, 'deg')} (${normal.source}${normal.sameDefinition ? '' : '; by another definition'}).`
          : 'No published range by this definition is known to the program.'}
      </p>
    </div>
  )
}

/** The landmarks of an angle; one pressed is named in the view. */
function RestsOn({ landmarks }: { readonly landmarks: AngleDefinition['landmarks'] }) {
  const { store } = useWorkbench()
  const there = useWorkbenchState((state) => state.findings?.landmarks)
  const active = useWorkbenchState((state) => state.activeLandmark)
  return (
    <ul className="rests-on" aria-label="Landmarks">
      {landmarks
        .filter((id) => there?.[id])
        .map((id) => (
          <li key={id}>
            <button
              type="button"
              aria-pressed={active === id}
              onClick={() => store.getState().chooseLandmark(active === id ? null : id)}
            >
              {landmarkLabels[id]}
            </button>
          </li>
        ))}
    </ul>
  )
}

interface AlternativeProps {
  readonly alternative: AngleAlternative | TypeAlternative
  readonly shown: string
}

function Alternative({ alternative, shown }: AlternativeProps) {
  const { store } = useWorkbench()
  const { definition, choose } = alternative
  return (
    <li>
      <span>{sentence(definition)}</span>
      <strong>{shown}</strong>
      {choose ? (
        <button
          type="button"
          className="button small"
          aria-label={`Use: ${definition}`}
          onClick={() =>
            store.getState().edit(`definition: ${definition}`, (document) => ({
              ...document,
              references: { ...document.references, [choose.reference]: choose.value },
            }))
          }
        >
          Use
        </button>
      ) : null}
    </li>
  )
}

const sentence = (words: string): string => `${words.charAt(0).toUpperCase()}${words.slice(1)}.`
