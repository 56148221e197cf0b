import { type Assessed, assessFully } from '../assess.ts'
import type { Bones } from '../casefile/case-anatomy.ts'
import type { CaseDocument } from '../casefile/document.ts'
import { setPath } from '../casefile/set-path.ts'
import { fail, ok, type Result } from '../failure.ts'
import type { Limit } from '../planning/planned.ts'
import type { PoseName } from '../stance/terms.ts'

/** The tibial cut that stands level side to side in one pose. An answer to a question, not a recommendation. */
export interface LevelCut {
  readonly pose: PoseName
  readonly varusDeg: number
  readonly mptaDeg: number
  readonly trayToFloorCoronalDeg: number
  /** What is left front to back: the plane that is level is the frontal one only. */
  readonly trayToFloorSagittalDeg: number
  readonly shearVertical: number
  readonly shearTibialAxis: number
  readonly hipHalfSpacingMm: number
  readonly ankleHalfSpacingMm: number
  readonly spacingSource: 'assumed' | 'entered' | 'measured'
  /** Entered limits with this cut. */
  readonly limits: readonly Limit[]
  readonly limitsAllow: boolean
}

const lowest = -20
const highest = 20
const levelDeg = 1e-6
const mostSteps = 40

/**
 * Which tibial varus makes the tray level side to side in the pose the case shows; everything else of the case stays.
 * The tilt grows with the cut (about half a degree per degree, because the limb's axis moves too), so a bracketed
 * secant finds the one angle. `stance/degenerate` where no angle within ±20° does.
 */
export function findLevelCut(document: CaseDocument, bones: Bones): Result<LevelCut> {
  const { pose } = document.stance
  const tiltAt = (varusDeg: number): Result<{ tilt: number; assessed: Assessed }> => {
    const cut = setPath(document, 'cuts.tibia.varusDeg', varusDeg)
    if (!cut.ok) return cut
    const assessed = assessFully(cut.value, bones)
    if (!assessed.ok) return assessed
    const standing = assessed.value.findings.stance.find((s) => s.pose === pose)
    if (!standing) return fail('stance/degenerate', `The pose “${pose}” cannot be stood.`, { place: 'stance.pose' })
    return ok({ tilt: standing.trayToFloorCoronalDeg, assessed: assessed.value })
  }
  const middle = tiltAt(0)
  if (!middle.ok) return middle
  let here = { at: 0, tilt: middle.value.tilt, assessed: middle.value.assessed }
  let low = { at: lowest, tilt: Number.NaN }
  let high = { at: highest, tilt: Number.NaN }
  for (let step = 0; step < mostSteps && Math.abs(here.tilt) > levelDeg; step++) {
    if (here.tilt > 0) high = here
    else low = here
    const next = nextVarus(low, high, here)
    if (high.at - low.at < 1e-9) break
    const there = tiltAt(next)
    if (!there.ok) return there
    here = { at: next, tilt: there.value.tilt, assessed: there.value.assessed }
  }
  if (Math.abs(here.tilt) > 1e-3)
    return fail(
      'stance/degenerate',
      'No tibial cut between 20° of valgus and 20° of varus stands level in this pose.',
      {
        hint: 'Check the spacings of hips and ankles.',
        place: 'cuts.tibia.varusDeg',
      },
    )
  return ok(levelCut(here.at, pose, here.assessed))
}

/** Secant between the ends where both are known, else a guess of one half degree per degree, kept inside the bracket. */
function nextVarus(
  low: { readonly at: number; readonly tilt: number },
  high: { readonly at: number; readonly tilt: number },
  here: { readonly at: number; readonly tilt: number },
): number {
  const slope = (high.tilt - low.tilt) / (high.at - low.at)
  const guess = Number.isFinite(slope) && slope > 0 ? low.at - low.tilt / slope : here.at - here.tilt / 0.55
  const inside = 1e-6 * (high.at - low.at)
  return Math.min(high.at - inside, Math.max(low.at + inside, guess))
}

function levelCut(varusDeg: number, pose: PoseName, { findings }: Assessed): LevelCut {
  const standing = findings.stance.find((s) => s.pose === pose)
  const ratio = (direction: 'vertical' | 'tibial-axis') =>
    findings.loading.find((l) => l.pose === pose && l.direction === direction)?.shearToCompression ?? 0
  if (!standing) throw new Error('The pose was stood a moment ago.')
  return {
    pose,
    varusDeg,
    mptaDeg: findings.after.mptaDeg,
    trayToFloorCoronalDeg: standing.trayToFloorCoronalDeg,
    trayToFloorSagittalDeg: standing.trayToFloorSagittalDeg,
    shearVertical: ratio('vertical'),
    shearTibialAxis: ratio('tibial-axis'),
    hipHalfSpacingMm: standing.hipHalfSpacingMm,
    ankleHalfSpacingMm: standing.ankleHalfSpacingMm,
    spacingSource: standing.spacingSource,
    limits: findings.limits,
    limitsAllow: findings.limits.every((limit) => limit.status === 'inside'),
  }
}
