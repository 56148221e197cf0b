import { addScaled, dot, length, unit, type Vec3 } from '../geometry/vec.ts'

/** A force on the tray, split along its normal and in its plane. N; ratios to compression. */
export interface TrayLoad {
  readonly compressionN: number
  readonly shearN: number
  readonly shearToCompression: number
  /** Share of the shear along the tray's medio-lateral axis, and along its antero-posterior axis, to compression. */
  readonly shearCoronal: number
  readonly shearSagittal: number
}

/** Tray axes in the frame of the force: n out of the bone, m medial, p posterior; unit. */
export interface TrayAxes {
  readonly normal: Vec3
  readonly medial: Vec3
  readonly posterior: Vec3
}

/**
 * N = |F·n|, S = |F − (F·n)n| (statics; check values §5.3). A force that presses nowhere on the tray (F·n ≥ 0, pulling
 * off, or along the tray) has no ratio: null.
 */
export function trayLoad(force: Vec3, { normal, medial, posterior }: TrayAxes): TrayLoad | null {
  const along = dot(force, normal)
  const compressionN = -along
  if (!(compressionN > 1e-9 * length(force))) return null
  const shear = addScaled(force, normal, -along)
  const shearN = length(shear)
  return {
    compressionN,
    shearN,
    shearToCompression: shearN / compressionN,
    shearCoronal: Math.abs(dot(force, medial)) / compressionN,
    shearSagittal: Math.abs(dot(force, posterior)) / compressionN,
  }
}

/** The force of that size pressing along `down`, N. */
export const forceAlong = (down: Vec3, sizeN: number): Vec3 => {
  const d = unit(down)
  return [d[0] * sizeN, d[1] * sizeN, d[2] * sizeN]
}
