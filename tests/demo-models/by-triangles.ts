import type { LegTruth } from '../../demo-models/leg.ts'
import { fitPlane } from '../../src/geometry/fit.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { intoFrame, mapPoint } from '../../src/geometry/rigid.ts'
import { addScaled, cross, dot, length, midpoint, scale, sub, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { expectOk } from '../near.ts'

/** A plateau patch and a notch read off the triangles of a fine mesh by the definitions alone, in the tibia's true frame. */

interface Face {
  readonly centre: Vec3
  readonly normal: Vec3
  readonly area: number
  readonly corners: readonly [number, number, number]
}

const ownVertices = (mesh: Mesh, truth: LegTruth): Vec3[] => {
  const into = intoFrame(truth.tibia.frame)
  const p = mesh.positions
  return Array.from({ length: p.length / 3 }, (_, v) => mapPoint(into, [p[3 * v]!, p[3 * v + 1]!, p[3 * v + 2]!]))
}

/** Normal of the patch plane and area centroid: largest connected part within 15° of its own plane's normal. */
export function patchByTriangles(
  mesh: Mesh,
  truth: LegTruth,
  side: 'medial' | 'lateral',
): { normal: Vec3; centroid: Vec3 } {
  const into = intoFrame(truth.tibia.frame)
  const { spineMedial, spineLateral } = truth.tibia.landmarks
  const spineZ = mapPoint(into, side === 'medial' ? spineMedial : spineLateral)[2]
  const outwards = (truth.side === 'right' ? 1 : -1) * (side === 'medial' ? -1 : 1)
  const faces = facesOf(mesh, ownVertices(mesh, truth)).filter(
    ({ centre }) => centre[1] > -30 && outwards * (centre[2] - spineZ) > 0,
  )
  let normal = meanNormal(faces.filter((f) => f.normal[1] > Math.cos(toRad(25))))
  let part: readonly Face[] = []
  for (let pass = 0; pass < 40; pass++) {
    part = largestPart(faces.filter((f) => dot(f.normal, normal) > Math.cos(toRad(15))))
    const fit = expectOk(
      fitPlane(
        part.map((f) => f.centre),
        part.map((f) => f.area),
      ),
    )
    const next = fit.normal[1] > 0 ? fit.normal : scale(fit.normal, -1)
    const turned = length(sub(next, normal))
    normal = next
    if (turned < 1e-9) break
  }
  const area = part.reduce((sum, f) => sum + f.area, 0)
  const centroid = part.reduce((sum, f) => addScaled(sum, f.centre, f.area / area), [0, 0, 0] as Vec3)
  return { normal, centroid }
}

function facesOf({ triangles: t }: Mesh, at: readonly Vec3[]): Face[] {
  return Array.from({ length: t.length / 3 }, (_, k) => {
    const corners = [t[3 * k]!, t[3 * k + 1]!, t[3 * k + 2]!] as const
    const [a, b, c] = [at[corners[0]]!, at[corners[1]]!, at[corners[2]]!]
    const x = cross(sub(b, a), sub(c, a))
    return { centre: addScaled(scale(c, 1 / 3), midpoint(a, b), 2 / 3), normal: unit(x), area: length(x) / 2, corners }
  })
}

const meanNormal = (faces: readonly Face[]): Vec3 =>
  unit(faces.reduce((sum, f) => addScaled(sum, f.normal, f.area), [0, 0, 0] as Vec3))

function largestPart(faces: readonly Face[]): readonly Face[] {
  const parent = faces.map((_, i) => i)
  const root = (i: number): number => {
    let at = i
    while (parent[at] !== at) at = parent[at] = parent[parent[at]!]!
    return at
  }
  const byEdge = new Map<string, number>()
  faces.forEach(({ corners }, i) => {
    for (let e = 0; e < 3; e++) {
      const [a, b] = [corners[e]!, corners[(e + 1) % 3]!]
      const key = a < b ? `${a},${b}` : `${b},${a}`
      const other = byEdge.get(key)
      if (other === undefined) byEdge.set(key, i)
      else parent[root(i)] = root(other)
    }
  })
  const areas = new Map<number, number>()
  faces.forEach((f, i) => {
    areas.set(root(i), (areas.get(root(i)) ?? 0) + f.area)
  })
  const largest = [...areas].reduce((best, entry) => (entry[1] > best[1] ? entry : best))[0]
  return faces.filter((_, i) => root(i) === largest)
}

/** Depth of the posterior concavity below its bridging hull edge at the contour points, deepest first: (x, z), depth. */
export function notchByTriangles(mesh: Mesh, truth: LegTruth, y: number): { x: number; z: number; depth: number } {
  const at = ownVertices(mesh, truth)
  const contour: { x: number; z: number }[] = []
  for (let i = 0; i < mesh.triangles.length; i++) {
    const a = at[mesh.triangles[i]!]!
    const b = at[mesh.triangles[i % 3 === 2 ? i - 2 : i + 1]!]!
    if (a[1] >= y || b[1] < y) continue
    const u = (y - a[1]) / (b[1] - a[1])
    contour.push({ x: a[0] + u * (b[0] - a[0]), z: a[2] + u * (b[2] - a[2]) })
  }
  const back = contour.filter((q) => q.x < 0)
  let [cx, cz] = [-1, 0]
  const pressed = (points: typeof back) => points.reduce((p, q) => (q.x * cx + q.z * cz > p.x * cx + p.z * cz ? q : p))
  let [left, right] = [back[0]!, back[0]!]
  for (let pass = 0; pass < 60; pass++) {
    left = pressed(back.filter((q) => q.z < 0))
    right = pressed(back.filter((q) => q.z > 0))
    const [dx, dz] = [right.x - left.x, right.z - left.z]
    ;[cx, cz] = [-dz / Math.hypot(dx, dz), dx / Math.hypot(dx, dz)]
  }
  const depth = (q: { x: number; z: number }) => (left.x - q.x) * cx + (left.z - q.z) * cz
  const deepest = back.filter((q) => q.z > left.z && q.z < right.z).reduce((p, q) => (depth(q) > depth(p) ? q : p))
  return { ...deepest, depth: depth(deepest) }
}
