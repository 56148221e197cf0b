/** A closed loop in a plane, mm; the first point is not repeated. Outer loops counter-clockwise, holes clockwise. */
export type Loop = readonly (readonly [number, number])[]

/** Area and its moments up to the second order about the origin: ∫1, ∫x, ∫y, ∫x², ∫xy, ∫y². mm², mm³, mm⁴. */
export interface Moments {
  readonly area: number
  readonly x: number
  readonly y: number
  readonly xx: number
  readonly xy: number
  readonly yy: number
}

export const noMoments: Moments = { area: 0, x: 0, y: 0, xx: 0, xy: 0, yy: 0 }

/** Moments of the region inside the loops, by Green's theorem; holes subtract through their turning sense. */
export function polygonMoments(loops: readonly Loop[]): Moments {
  let [area, x, y, xx, xy, yy] = [0, 0, 0, 0, 0, 0]
  for (const loop of loops) {
    let [px, py] = loop[loop.length - 1] ?? [0, 0]
    for (const [qx, qy] of loop) {
      const c = px * qy - qx * py
      area += c / 2
      x += (c * (px + qx)) / 6
      y += (c * (py + qy)) / 6
      xx += (c * (px * px + px * qx + qx * qx)) / 12
      yy += (c * (py * py + py * qy + qy * qy)) / 12
      xy += (c * (2 * px * py + px * qy + qx * py + 2 * qx * qy)) / 24
      px = qx
      py = qy
    }
  }
  return { area, x, y, xx, xy, yy }
}

/**
 * The part of each loop where a + b·x + c·y ≥ 0. Loops need not be convex: bridges that run along the cut and back
 * enclose nothing, so moments stay exact.
 */
export function clipLoops(loops: readonly Loop[], a: number, b: number, c: number): Loop[] {
  return loops.map((loop) => clipLoop(loop, a, b, c)).filter((loop) => loop.length > 2)
}

function clipLoop(loop: Loop, a: number, b: number, c: number): Loop {
  const out: (readonly [number, number])[] = []
  const last = loop[loop.length - 1]
  if (!last) return out
  let [px, py] = last
  let before = a + b * px + c * py
  for (const [qx, qy] of loop) {
    const now = a + b * qx + c * qy
    if (before >= 0 !== now >= 0) {
      const t = before / (before - now)
      out.push([px + t * (qx - px), py + t * (qy - py)])
    }
    if (now >= 0) out.push([qx, qy])
    px = qx
    py = qy
    before = now
  }
  return out
}
