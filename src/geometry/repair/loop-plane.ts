import { unit, type Vec3 } from '../vec.ts'

/** A plane for a loop of vertices: through their mean, normal to the loop's area vector, counter-clockwise about it. */
export function fitPlaneToLoop(
  p: Float64Array,
  loop: readonly number[],
): { readonly point: Vec3; readonly normal: Vec3; readonly areaMm2: number; readonly farthestMm: number } {
  const n = loop.length
  let mx = 0
  let my = 0
  let mz = 0
  for (const v of loop) {
    mx += p[3 * v]! / n
    my += p[3 * v + 1]! / n
    mz += p[3 * v + 2]! / n
  }
  let ax = 0
  let ay = 0
  let az = 0
  for (let k = 0; k < n; k++) {
    const a = 3 * loop[k]!
    const b = 3 * loop[(k + 1) % n]!
    const ux = p[a]! - mx
    const uy = p[a + 1]! - my
    const uz = p[a + 2]! - mz
    const vx = p[b]! - mx
    const vy = p[b + 1]! - my
    const vz = p[b + 2]! - mz
    ax += (uy * vz - uz * vy) / 2
    ay += (uz * vx - ux * vz) / 2
    az += (ux * vy - uy * vx) / 2
  }
  const normal = unit([ax, ay, az])
  let farthestMm = 0
  for (const v of loop) {
    const d = (p[3 * v]! - mx) * normal[0] + (p[3 * v + 1]! - my) * normal[1] + (p[3 * v + 2]! - mz) * normal[2]
    farthestMm = Math.max(farthestMm, Math.abs(d))
  }
  return { point: [mx, my, mz], normal, areaMm2: Math.hypot(ax, ay, az), farthestMm }
}
