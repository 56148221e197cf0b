import type { Vec3 } from '../geometry/vec.ts'

export const stageNames = ['bones', 'landmarks', 'cuts', 'stance', 'loading', 'report'] as const
export type StageName = (typeof stageNames)[number]

/** What can be drawn or left out. */
export const layerNames = ['femur', 'tibia', 'components', 'pieces', 'landmarks', 'sheets'] as const
export type Layer = (typeof layerNames)[number]

/** Where one looks from, in the scene of the view's stage (Y up or proximal, X anterior, Z to the subject's right; mm). */
export interface SavedCamera {
  readonly projection: 'orthographic' | 'perspective'
  /** The pivot. */
  readonly target: Vec3
  /** Unit, from the pivot to the eye. */
  readonly direction: Vec3
  /** Unit, what is up in the picture. */
  readonly up: Vec3
  /** Height in sight at the pivot. */
  readonly visibleHeightMm: number
}

/** What is drawn, and how. */
export interface SavedVisibility {
  readonly hidden: readonly Layer[]
  readonly liftPieces: boolean
  /** Of the bones, 1 is solid. */
  readonly boneOpacity: number
}

/** A named place to look from; it changes no number. */
export interface SavedView {
  readonly name: string
  readonly stage: StageName
  readonly camera: SavedCamera
  readonly visibility: SavedVisibility
}

/** Names and number of what a case may keep. */
export const mostViews = 100
