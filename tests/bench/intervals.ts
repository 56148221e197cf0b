import { readFileSync } from 'node:fs'
import { planInput } from '../../src/assess.ts'
import { findAnatomy } from '../../src/casefile/case-anatomy.ts'
import { newCase } from '../../src/casefile/document.ts'
import { readMesh } from '../../src/formats/read.ts'
import { makeBone } from '../../src/geometry/bone.ts'
import { planCuts } from '../../src/planning/plan.ts'
import { intervalsOf, usualDraws } from '../../src/planning/uncertainty.ts'
import { keepResult } from './keep.ts'
import { legFiles } from './legs.ts'
import { quantile } from './pairs.ts'

// 95 % intervals of every angle, planned angle and site: 2,000 draws, landmarks and plan at hand.

const mostMs = 1000
const leg = legFiles(200_000)
const bone = (path: string) => {
  const read = readMesh(new Uint8Array(readFileSync(path)), path)
  if (!read.ok) throw new Error(read.failure.message)
  const made = makeBone(read.value.mesh)
  if (!made.ok) throw new Error(made.failure.message)
  return made.value
}
const bones = { femur: bone(leg.femur), tibia: bone(leg.tibia) }
const rows = (['kinematic', 'mechanical'] as const).map((recipe) => {
  const document = { ...newCase, recipe }
  const knee = findAnatomy(document, bones)
  if (!knee.ok) throw new Error(knee.failure.message)
  const input = planInput(document, bones, knee.value)
  const plan = planCuts(input)
  if (!plan.ok) throw new Error(plan.failure.message)
  const { references, uncertainty: choices, seed } = document
  const { shared } = knee.value.measured.relativePose
  const once = (): number => {
    const from = performance.now()
    const made = intervalsOf({
      knee: knee.value,
      shared,
      references,
      choices,
      seed,
      planned: { input, plan: plan.value },
    })
    if (!made.ok) throw new Error(made.failure.message)
    return performance.now() - from
  }
  const walls = Array.from({ length: 7 }, once)
  const wallMs = quantile(walls, 0.5)
  console.log(`  ${recipe}: ${usualDraws} draws in ${wallMs.toFixed(0)} ms (asked < ${mostMs})`)
  return {
    recipe,
    draws: usualDraws,
    wallMs,
    lowMs: Math.min(...walls),
    highMs: Math.max(...walls),
    met: wallMs < mostMs,
  }
})
keepResult('intervals', { met: rows.every((row) => row.met), triangles: leg.triangles, rows })
