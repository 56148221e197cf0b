import { anglePaths, spreadOfAngles } from '../../src/anatomy/angle-spread.ts'
import { errorSources, type KneeAnatomy } from '../../src/anatomy/error-sources.ts'
import { type Spread, seededDraws } from '../../src/anatomy/spread.ts'
import { defaultReferences, type References } from '../../src/anatomy/terms.ts'

/** Spreads of all native angles of a knee, by path. */
export function spreadsOf(
  knee: KneeAnatomy,
  meshSdMm = 0.25,
  {
    count = 1000,
    seed = 3,
    references = defaultReferences,
  }: { count?: number; seed?: number; references?: References } = {},
): Readonly<Record<string, Spread>> {
  const sources = errorSources(knee, references, meshSdMm)
  const draws = { sources, amounts: seededDraws(sources.length, count, seed), count }
  const steps = spreadOfAngles(knee, references, draws, (k) => anglePaths(k, references, true))
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}
