import { type StanceInput, standEveryPose } from './stand.ts'

/** How the tray's tilt in the shown pose changes with one entry of the stance, everything else kept. */
export interface Sensitivity {
  readonly what: 'ankleHalfSpacingMm' | 'hipHalfSpacingMm' | 'flexionDeg' | 'footRotationDeg'
  readonly step: number
  readonly unit: 'mm' | 'deg'
  readonly coronalDeg: number
  readonly sagittalDeg: number
}

const steps = [
  ['ankleHalfSpacingMm', 10, 'mm'],
  ['hipHalfSpacingMm', 10, 'mm'],
  ['flexionDeg', 10, 'deg'],
  ['footRotationDeg', 10, 'deg'],
] as const

/**
 * Change of the tray's tilt to the floor per 10 mm of each foot, 10 mm of each hip, 10° of flexion and of foot
 * rotation, in the shown pose; by standing again. A step that cannot be stood is left out.
 */
export function stanceSensitivities(input: StanceInput): readonly Sensitivity[] {
  const shown = (choices: StanceInput['choices']) => {
    const stood = standEveryPose({ ...input, choices })
    return stood.ok ? stood.value.poses.find((p) => p.pose === choices.pose) : undefined
  }
  const here = shown(input.choices)
  if (!here) return []
  return steps.flatMap(([what, step, unit]) => {
    const there = shown({ ...input.choices, [what]: here[what] + step })
    if (!there) return []
    return [
      {
        what,
        step,
        unit,
        coronalDeg: there.trayToFloorCoronalDeg - here.trayToFloorCoronalDeg,
        sagittalDeg: there.trayToFloorSagittalDeg - here.trayToFloorSagittalDeg,
      },
    ]
  })
}
