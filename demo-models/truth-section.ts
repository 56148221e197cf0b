import type { Sdf } from './sdf.ts'
import { contour } from './truth-search.ts'

/** Area centroid (x, z) and direction of greatest spread, pointing laterally, of the section at height y. */
export function sectionAxes(g: Sdf, y: number): { centroid: [number, number]; lateral: [number, number] } {
  const count = 240
  const centre: [number, number] = [0, 0]
  const radii = contour(g, y, centre, count)
  let [area, mx, mz, xx, xz, zz] = [0, 0, 0, 0, 0, 0]
  radii.forEach((r, n) => {
    const [c, s] = [Math.cos((2 * Math.PI * n) / count), Math.sin((2 * Math.PI * n) / count)]
    area += r ** 2 / 2
    mx += (c * r ** 3) / 3
    mz += (s * r ** 3) / 3
    xx += (c * c * r ** 4) / 4
    xz += (c * s * r ** 4) / 4
    zz += (s * s * r ** 4) / 4
  })
  const [x, z] = [mx / area, mz / area]
  const angle = Math.atan2(2 * (xz / area - x * z), zz / area - z * z - (xx / area - x * x)) / 2
  return { centroid: [centre[0] + x, centre[1] + z], lateral: [Math.sin(angle), Math.cos(angle)] }
}
