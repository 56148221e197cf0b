import { useWorkbenchState } from '../workbench.ts'

/** Every warning that rides with the findings, in full. */
export function WarningList() {
  const all = useWorkbenchState((state) => state.findings?.warnings)
  // What comes by itself when the hand rests is no warning to anyone.
  const waiting = (all ?? []).filter((warning) => warning.code !== 'intervals/updating')
  // The same sentence about several numbers is one warning, and two of one key would stay behind when they are gone.
  const warnings = waiting.filter(
    (warning, k) =>
      waiting.findIndex(({ code, message }) => code === warning.code && message === warning.message) === k,
  )
  if (warnings.length === 0) return null
  return (
    <details className="warnings">
      <summary>
        {warnings.length} {warnings.length === 1 ? 'warning' : 'warnings'}
      </summary>
      <ul>
        {warnings.map((warning) => (
          <li key={`${warning.code} ${warning.message}`} data-code={warning.code}>
            {warning.message}
          </li>
        ))}
      </ul>
    </details>
  )
}
