import { sdsIn95 } from '../anatomy/landmark-sd.ts'
import { planInput } from '../assess.ts'
import { type Bones, findAnatomy } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { type Failure, ok, type Result } from '../failure.ts'
import { planCuts } from '../planning/plan.ts'
import { type SawErrorChances, sawErrorDraws } from '../planning/saw-error.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'

/** As many draws as know a share to about one in a hundred. */
export const usualDraws = 2000

/** Per recipe the chances that limits and tolerances hold, or why it cannot be planned. */
export type SawOff = Readonly<Record<RecipeName, Result<SawErrorChances>>>

/**
 * What if the saw is off, recipe by recipe on the same bones: seeded by the case, with its own scatter of angle and depth and the
 * landmarks' own uncertainty. Hands its progress (0…1) out as it goes, so that a worker can report, yield and cancel. Bones
 * without landmarks are the failure; a recipe that cannot be planned is its own.
 */
export function* sawOff(document: CaseDocument, bones: Bones, draws: number): Generator<number, Result<SawOff>> {
  const anatomy = findAnatomy(document, bones)
  if (!anatomy.ok) return anatomy
  const all: Partial<Record<RecipeName, Result<SawErrorChances>>> = {}
  for (const [i, recipe] of recipeNames.entries()) {
    const input = planInput({ ...document, recipe }, bones, anatomy.value)
    const plan = planCuts(input)
    all[recipe] = plan.ok
      ? yield* scaled(
          sawErrorDraws(input, plan.value, {
            draws,
            seed: document.seed,
            angleSdDeg: document.saw.angleSdDeg,
            depthSdMm: document.saw.depthSdMm,
            landmarks: true,
            survey: { references: document.references, meshSdMm: document.uncertainty.meshAccuracyMm / sdsIn95 },
          }),
          i / recipeNames.length,
          1 / recipeNames.length,
        )
      : refused(plan.failure)
  }
  return ok(all as SawOff)
}

const refused = (failure: Failure): Result<SawErrorChances> => ({ ok: false, failure })

function* scaled<T>(steps: Generator<number, T>, from: number, share: number): Generator<number, T> {
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
    yield from + share * step.value
  }
}
