import { readFileSync, writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { beforeAll, expect, test } from 'vitest'
import { planCuts } from '../../src/planning/plan.ts'
import type { Plan } from '../../src/planning/planned.ts'
import { type Procedure, recipeNames } from '../../src/planning/terms.ts'
import { expectNear, expectOk } from '../near.ts'
import { choicesWith, demoInput, wornBy } from './demo-input.ts'

/**
 * Golden plans of one worn varus demo leg, per recipe and procedure. They change when the demo shape, a component or a rule changes on
 * purpose; then write them anew with FLOORLINE_GOLDEN=write and read the difference before committing it.
 */
const file = fileURLToPath(new URL('./golden-plans.json', import.meta.url))

let demo: ReturnType<typeof demoInput>
beforeAll(() => {
  demo = demoInput({ ldfaDeg: 88.5, mptaDeg: 84, medialWearMm: 1, size: 0.97 }, {}, 2)
}, 120_000)

const procedures: readonly Procedure[] = ['total', 'medial-partial']

function summary(plan: Plan): Record<string, number> {
  const out: Record<string, number> = {
    femurSize: plan.implants.femurSize,
    tibiaSize: plan.implants.tibiaSize,
    insertMm: plan.implants.insertMm,
    femurComponentMm3: plan.volumes.femurComponentMm3!,
    tibiaComponentMm3: plan.volumes.tibiaComponentMm3!,
    femurBlockTopMm: plan.volumes.femurBlockTopMm!,
    coverage: plan.coverage!.fraction,
  }
  for (const cut of plan.cuts) {
    const angles = ['varusDeg', 'valgusDeg', 'slopeDeg', 'flexionDeg', 'externalRotationDeg', 'depthMm'] as const
    for (const key of [...angles, 'removedMm3', 'kerfMm3', 'sectionMm2'] as const)
      if (cut[key] !== null) out[`${cut.id}.${key}`] = cut[key]
  }
  for (const site of plan.sites) {
    out[`${site.id}.pieceMm`] = site.pieceMm
    out[`${site.id}.differenceMm`] = site.differenceMm
  }
  for (const [key, value] of Object.entries(plan.after)) if (typeof value === 'number') out[`after.${key}`] = value
  plan.corrections?.forEach((step, i) => {
    out[`correction.${i}.${step.bone}.${step.limit}`] = step.deg
  })
  return out
}

const rounded = (values: Record<string, number>) =>
  Object.fromEntries(Object.entries(values).map(([key, v]) => [key, Number(v.toFixed(5))]))

test('plans stay as they were, per recipe and procedure', () => {
  const plans: Record<string, Record<string, number>> = {}
  for (const procedure of procedures) {
    for (const recipe of recipeNames) {
      const choices = choicesWith({ procedure, recipe, wear: wornBy(3, 0) })
      plans[`${procedure} ${recipe}`] = summary(expectOk(planCuts({ ...demo, choices })))
    }
  }
  if (process.env['FLOORLINE_GOLDEN'] === 'write') {
    writeFileSync(
      file,
      `${JSON.stringify(Object.fromEntries(Object.entries(plans).map(([k, v]) => [k, rounded(v)])), null, 2)}\n`,
    )
  }
  const golden: Record<string, Record<string, number>> = JSON.parse(readFileSync(file, 'utf8'))
  expect(Object.keys(plans)).toEqual(Object.keys(golden))
  for (const [name, values] of Object.entries(plans)) {
    const known = golden[name]!
    expect(Object.keys(values), name).toEqual(Object.keys(known))
    for (const [key, value] of Object.entries(values))
      expectNear(value, known[key]!, {
        abs: Math.max(2e-4, 1e-6 * Math.abs(known[key]!)),
        because: `${name}, ${key}: stored to five decimals`,
      })
  }
})
