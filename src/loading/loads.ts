import type { TibiaAnatomy } from '../anatomy/terms.ts'
import type { Warning } from '../failure.ts'
import { mapVector } from '../geometry/rigid.ts'
import { scale } from '../geometry/vec.ts'
import type { Assumption, PlacedTray } from '../planning/planned.ts'
import type { Standing } from '../stance/standing.ts'
import type { PoseName } from '../stance/terms.ts'
import { kneeForceN, type LoadChoices, loadAssumptions } from './knee-force.ts'
import { forceAlong, trayLoad } from './tray-load.ts'

export type LoadDirection = 'vertical' | 'tibial-axis' | 'own'

/** Contact of one compartment of the bearing. */
export interface BearingLoad {
  readonly peakMpa: number
  readonly areaMm2: number
  readonly edgeDistanceMm: number
  readonly outerTenthShare: number
  readonly edgeLoaded: boolean
}

/** One pose under one direction of load. N and MPa; null where not yet modelled. */
export interface Load {
  readonly pose: PoseName
  readonly direction: LoadDirection
  readonly loadN: number
  readonly compressionN: number
  readonly shearN: number
  readonly shearToCompression: number
  readonly shearCoronal: number
  readonly shearSagittal: number
  readonly medialShare: number | null
  readonly interfacePeakMpa: number | null
  readonly bearing: { readonly medial: BearingLoad; readonly lateral: BearingLoad } | null
}

export interface Loads {
  readonly loads: readonly Load[]
  readonly assumptions: readonly Assumption[]
  readonly warnings: readonly Warning[]
}

export interface LoadsInput {
  readonly poses: readonly Standing[]
  readonly tibia: TibiaAnatomy
  readonly tray: PlacedTray
  readonly choices: LoadChoices
}

/**
 * Shear and compression under the tray in every pose, for both directions of load: straight down, and down the tibial
 * mechanical axis. A direction that does not press on the tray is left out with a warning.
 */
export function loadEveryPose({ poses, tibia, tray, choices }: LoadsInput): Loads {
  const warnings: Warning[] = []
  const loads: Load[] = []
  for (const standing of poses) {
    const toStance = standing.stanceFromTibia
    const axes = {
      normal: mapVector(toStance, tray.normal),
      medial: mapVector(toStance, tray.medial),
      posterior: mapVector(toStance, tray.posterior),
    }
    const loadN = kneeForceN(standing.pose, choices)
    const downs = { vertical: [0, -1, 0], 'tibial-axis': mapVector(toStance, scale(tibia.frame.y, -1)) } as const
    for (const direction of ['vertical', 'tibial-axis'] as const) {
      const load = trayLoad(forceAlong(downs[direction], loadN), axes)
      if (load)
        loads.push({
          pose: standing.pose,
          direction,
          loadN,
          ...load,
          medialShare: null,
          interfacePeakMpa: null,
          bearing: null,
        })
      else
        warnings.push({
          code: 'load/no-compression',
          message: `In the pose “${standing.pose}” the ${direction} load does not press on the tray.`,
          spoils: ['loading'],
        })
    }
  }
  return { loads, assumptions: loadAssumptions(choices), warnings: [...warnings, notModelled] }
}

const notModelled: Warning = {
  code: 'loading/not-modelled',
  message: 'Medial share, interface pressure and bearing contact are not modelled yet.',
  spoils: ['loading.*.medialShare', 'loading.*.interfacePeakMpa', 'loading.*.bearing'],
}
