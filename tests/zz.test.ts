import { test } from 'vitest'
import { openCase } from '/tmp/wt/plan/src/cli/case-source.ts'
import { findAnatomy, planInput } from '/tmp/wt/plan/src/assess.ts'
import { planCuts } from '/tmp/wt/plan/src/planning/plan.ts'
import { sawErrors } from '/tmp/wt/plan/src/planning/saw-error.ts'
import { cutErrorModel, landmarkDerivative } from '/tmp/wt/plan/src/planning/cut-error-model.ts'
test('t', async () => {
  const o = await openCase('/tmp/plan-work/heron/heron.floorline', {})
  if (!o.ok) throw 1
  let t = performance.now()
  const lap = (n: string) => { console.log(n, (performance.now() - t).toFixed(0)); t = performance.now() }
  const a = findAnatomy(o.value.document, o.value.bones); lap('anatomy')
  if (!a.ok) throw 2
  for (const recipe of ['mechanical','anatomic','kinematic', 'restricted'] as const) {
    const input = planInput({ ...o.value.document, recipe }, o.value.bones, a.value)
    const p = planCuts(input); lap('plan')
    if (!p.ok) throw 3
    const m = cutErrorModel(input, p.value); lap('model')
    if (!m.ok) throw 3
    landmarkDerivative(input, m.value.parameters); lap('derivative')
    sawErrors(input, p.value, { draws: 2000, seed: 1, angleSdDeg: 1, depthSdMm: .5, landmarks: true }); lap(recipe)
  }
}, 60000)
