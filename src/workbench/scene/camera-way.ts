import { Spherical, Vector3 } from 'three'

/** Where one looks from: pivot, unit direction from the pivot to the eye, height in sight at the pivot in mm. */
export interface Viewpoint {
  readonly target: Vector3
  readonly direction: Vector3
  readonly visibleHeight: number
  /** Upward in the picture; without it the horizon is level. */
  readonly up?: Vector3
}

export const levelUp = new Vector3(0, 1, 0)

/** The way from one look to another as a function of 0…1: round the pivot by the shorter side, nearer or farther by equal ratios. */
export function cameraWay(from: Required<Viewpoint>, to: Viewpoint): (t: number) => Required<Viewpoint> {
  const begin = new Spherical().setFromVector3(from.direction)
  const end = new Spherical().setFromVector3(to.direction)
  const turn = ((((end.theta - begin.theta + Math.PI) % (2 * Math.PI)) + 2 * Math.PI) % (2 * Math.PI)) - Math.PI
  const upTo = to.up ?? levelUp
  return (t) => {
    const phi = begin.phi + t * (end.phi - begin.phi)
    const eye = new Vector3().setFromSpherical(new Spherical(1, phi, begin.theta + t * turn))
    return {
      target: new Vector3().lerpVectors(from.target, to.target, t),
      direction: t === 1 ? to.direction : eye,
      visibleHeight: from.visibleHeight * (to.visibleHeight / from.visibleHeight) ** t,
      up: new Vector3().lerpVectors(from.up, upTo, t).normalize(),
    }
  }
}
