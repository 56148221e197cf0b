import type { PatientFrame } from '../../anatomy/terms.ts'
import { mapVector } from '../../geometry/rigid.ts'
import { scale, type Vec3 } from '../../geometry/vec.ts'
import type { CameraReadout } from './camera-rig.ts'
import type { Placement } from './placement.ts'

export interface EdgeLetters {
  readonly top: string
  readonly bottom: string
  readonly left: string
  readonly right: string
}

/** Directions of the subject in the file's axes. */
const axes: Readonly<Record<Exclude<PatientFrame, 'unknown'>, readonly (readonly [string, Vec3])[]>> = {
  lps: [
    ['L', [1, 0, 0]],
    ['R', [-1, 0, 0]],
    ['P', [0, 1, 0]],
    ['A', [0, -1, 0]],
    ['S', [0, 0, 1]],
    ['I', [0, 0, -1]],
  ],
  ras: [
    ['R', [1, 0, 0]],
    ['L', [-1, 0, 0]],
    ['A', [0, 1, 0]],
    ['P', [0, -1, 0]],
    ['S', [0, 0, 1]],
    ['I', [0, 0, -1]],
  ],
}

/** Below this part of the direction a letter is not worth saying (about 23°). */
const least = 0.39

/**
 * The subject's directions at the view's edges, the strongest first and two where the view is oblique. null while the
 * frame is not declared, or where the leg has been posed and the file's axes no longer say anything.
 */
export function edgeLetters(frame: PatientFrame, placement: Placement, readout: CameraReadout): EdgeLetters | null {
  if (frame === 'unknown' || placement.frame === 'stance') return null
  const inScene = axes[frame].map(([letter, axis]) => [letter, mapVector(placement.sceneFromTibia, axis)] as const)
  const towards = (direction: Vec3) =>
    inScene
      .map(([letter, axis]) => ({
        letter,
        part: axis[0] * direction[0] + axis[1] * direction[1] + axis[2] * direction[2],
      }))
      .filter(({ part }) => part > least)
      .sort((a, b) => b.part - a.part)
      .slice(0, 2)
      .map(({ letter }) => letter)
      .join('')
  return {
    top: towards(readout.up),
    bottom: towards(scale(readout.up, -1)),
    right: towards(readout.right),
    left: towards(scale(readout.right, -1)),
  }
}
