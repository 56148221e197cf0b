import { isStablePath } from '../casefile/stable-paths.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Findings } from '../findings.ts'
import { csvRows } from './csv-table.ts'
import { nativeOutputs, outputs } from './outputs.ts'
import type { StudyCell, StudyColumn } from './sweep.ts'

/** One knee of a batch: where its files are, and what is declared or set. Nothing is checked before its turn. */
export interface BatchKnee {
  readonly id: string
  readonly caseFile: string | null
  readonly femur: string | null
  readonly tibia: string | null
  /** Declared values by option name, and stable paths as PATH=VALUE. */
  readonly options: Readonly<Record<string, string>>
  readonly set: readonly string[]
}

const optionColumns = ['side', 'frame', 'unit', 'hip', 'ankle', 'procedure', 'recipe'] as const
const fileColumns = ['id', 'case', 'femur', 'tibia'] as const
/** Columns that name companion files. */
export const companionColumns = ['hipMesh', 'ankleMesh', 'fibula'] as const

/**
 * Reads a batch list: a CSV whose head names its columns: `case`, or `femur` and `tibia`; optionally `id`, side, frame,
 * unit, hip, ankle, hipMesh, ankleMesh, fibula, procedure, recipe, and any stable path. Unknown columns and a list without rows are failures.
 */
export function parseBatchList(text: string): Result<readonly BatchKnee[]> {
  const table = csvRows(text)
  if (!table.ok) return table
  const [head, ...rows] = table.value
  if (!head || rows.length === 0)
    return fail('case/syntax', 'The list holds no knees.', { hint: 'Its first line names the columns: femur,tibia,…' })
  const known = (name: string) =>
    (fileColumns as readonly string[]).includes(name) ||
    (optionColumns as readonly string[]).includes(name) ||
    (companionColumns as readonly string[]).includes(name) ||
    isStablePath(name)
  const unknown = head.find((name) => !known(name))
  if (unknown !== undefined)
    return fail('case/unknown-path', `The list has a column “${unknown}” that means nothing here.`, {
      hint: `Columns: ${[...fileColumns, ...companionColumns, ...optionColumns].join(', ')}, and any stable path.`,
      place: unknown,
    })
  if (!head.includes('case') && !(head.includes('femur') && head.includes('tibia')))
    return fail('case/syntax', 'The list needs a column “case”, or “femur” and “tibia”.', { place: 'line 1' })
  return ok(rows.map((row, k) => knee(head, row, k)))
}

function knee(head: readonly string[], row: readonly string[], index: number): BatchKnee {
  const given = new Map(head.flatMap((name, k) => (row[k] ? [[name, row[k]] as const] : [])))
  const options = [...companionColumns, ...optionColumns].flatMap((name) => {
    const value = given.get(name)
    return value === undefined ? [] : [[name, value] as const]
  })
  const set = [...given].filter(([name]) => isStablePath(name) && !(optionColumns as readonly string[]).includes(name))
  return {
    id: given.get('id') ?? String(index + 1),
    caseFile: given.get('case') ?? null,
    femur: given.get('femur') ?? null,
    tibia: given.get('tibia') ?? null,
    options: Object.fromEntries(options),
    set: set.map(([path, value]) => `${path}=${value}`),
  }
}

/** Columns of a batch: who, whether it worked, native angles, outputs. */
export function batchColumns(): StudyColumn[] {
  const text = (name: string): StudyColumn => ({ name, unit: '' })
  return [
    text('id'),
    text('side'),
    text('recipe'),
    text('pose'),
    ...nativeOutputs.map(({ name, unit }) => ({ name, unit })),
    ...outputs.map(({ name, unit }) => ({ name, unit })),
    text('failure'),
    text('message'),
  ]
}

/** One row: the numbers of a knee that worked, or the failure of one that did not. */
export function batchRow(
  id: string,
  result: Result<{ readonly findings: Findings; readonly pose: Findings['stance'][number]['pose'] }>,
): readonly StudyCell[] {
  const all = [...nativeOutputs, ...outputs]
  if (!result.ok) return [id, null, null, null, ...all.map(() => null), result.failure.code, result.failure.message]
  const { findings, pose } = result.value
  return [id, findings.side, findings.recipe, pose, ...all.map(({ of }) => of(findings, pose)), null, null]
}
