import { displacedKnee, type ErrorSource, type KneeAnatomy } from './error-sources.ts'
import { anglesOfKnee } from './measure-angles.ts'
import { type Spread, spreadOf } from './spread.ts'
import type { KneeAngles, References } from './terms.ts'

/** Draws of every source, row by row (`seededDraws`), in SDs. */
export interface Draws {
  readonly sources: readonly ErrorSource[]
  readonly amounts: Float64Array
  readonly count: number
}

/**
 * Spread of every number that `measure` reads off a knee (degrees, by path): each draw displaces all landmarks at once,
 * rebuilds both frames and measures again. A number that the knee as read does not have, or that a draw loses, is left out. Hands
 * its progress (0…1) out every hundred draws, so that a worker can report, yield and cancel.
 */
export function* spreadOfAngles(
  knee: KneeAnatomy,
  references: References,
  draws: Draws,
  measure: (knee: KneeAnatomy) => Readonly<Record<string, number>>,
): Generator<number, Readonly<Record<string, Spread>>> {
  const { sources, amounts, count } = draws
  const paths = Object.keys(measure(knee))
  const values = paths.map(() => new Float64Array(count))
  const of = (row: ArrayLike<number>) => measure(displacedKnee(knee, sources, row, references))
  const n = sources.length
  const lost = new Set<string>()
  const read = (found: Readonly<Record<string, number>>, path: string) => {
    const value = found[path]
    if (value === undefined) lost.add(path)
    return value ?? 0
  }
  for (let draw = 0; draw < count; draw++) {
    const found = of(amounts.subarray(draw * n, (draw + 1) * n))
    for (let p = 0; p < paths.length; p++) values[p]![draw] = read(found, paths[p]!)
    if ((draw + 1) % 100 === 0) yield (draw + 1) / count
  }
  const perSd = paths.map(() => new Float64Array(n))
  const one = new Float64Array(n)
  for (let k = 0; k < n; k++) {
    one[k] = 1
    const high = of(one)
    one[k] = -1
    const low = of(one)
    one[k] = 0
    for (let p = 0; p < paths.length; p++) perSd[p]![k] = (read(high, paths[p]!) - read(low, paths[p]!)) / 2
  }
  const groups = sources.map(({ group }) => group)
  return Object.fromEntries(
    paths.flatMap((path, p) =>
      lost.has(path) ? [] : [[path, spreadOf(values[p]!, perSd[p]!, groups, path.endsWith('Mm') ? 'mm' : 'deg')]],
    ),
  )
}

/** The native angles of a knee by findings path; those that are withheld are left out. */
export function anglePaths(
  knee: KneeAnatomy,
  references: References,
  shared: boolean,
): Readonly<Record<string, number>> {
  return flat(anglesOfKnee(knee.femur, knee.tibia, references, shared))
}

function flat(angles: KneeAngles): Readonly<Record<string, number>> {
  const out: Record<string, number> = {}
  for (const [key, value] of Object.entries(angles)) {
    if (typeof value === 'number') out[pathOf('angles.', key)] = value
    else if (key === 'kneePose' && value !== null)
      for (const [part, number] of Object.entries(value as object))
        out[pathOf('angles.kneePose.', part)] = number as number
  }
  return out
}

const known = new Map<string, string>()

/** The same text for the same path, not put together anew in every draw. */
function pathOf(before: 'angles.' | 'angles.kneePose.', key: string): string {
  const short = before === 'angles.' ? key : before + key
  const path = known.get(short) ?? before + key
  known.set(short, path)
  return path
}
