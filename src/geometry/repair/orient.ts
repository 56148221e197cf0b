import { matchEdges, nextHalfEdge } from '../edge-match.ts'
import type { Mesh } from '../mesh.ts'
import { enclosingShells, isInBox, measureShells, middle, type Shell } from '../shells.ts'
import { cross, dot, type Vec3 } from '../vec.ts'

/**
 * Turns triangles so that neighbours agree about the side that is out, the side of most area winning; then whole sheets
 * that clearly face in. Closed sheets must have a positive volume, or a negative one where an odd number of others
 * surround them (a cavity); positive ones are turned only when every sheet is the wrong way round. Open sheets are
 * closed by a cone to judge them, and stay as they are where that says little, and where they lie
 * within a larger one they go along with it (the wall of a canal). A sheet that has only one side (a Möbius
 * band) keeps disagreeing edges. Does nothing the second time. `twin` as `matchEdges` gives it, where it is known.
 */
export function orient(
  mesh: Mesh,
  twin: Int32Array = matchEdges(mesh.triangles, mesh.positions.length / 3).twin,
): Mesh {
  const { turned, sheetOf, sheets } = agree(mesh, twin)
  const agreed = turnedMesh(mesh, (t) => turned[t] === 1)
  const border: number[] = []
  for (let h = 0; h < twin.length; h++) {
    // Turning a triangle exchanges its first and its last half-edge.
    if (twin[h]! < 0) border.push(turned[Math.floor(h / 3)] === 1 ? h + 2 - 2 * (h % 3) : h)
  }
  const faceIn = inwardSheets(agreed, border, sheetOf, sheets)
  return turnedMesh(agreed, (t) => faceIn[sheetOf[t]!] === 1)
}

function turnedMesh(mesh: Mesh, turn: (t: number) => boolean): Mesh {
  const triangles = mesh.triangles.slice()
  for (let t = 0; t < triangles.length; t += 3) {
    if (!turn(t / 3)) continue
    triangles[t + 1] = mesh.triangles[t + 2]!
    triangles[t + 2] = mesh.triangles[t + 1]!
  }
  return { positions: mesh.positions, triangles }
}

/** Walks over edges of two triangles; a sheet is what can be reached so. */
function agree(mesh: Mesh, twin: Int32Array) {
  const { triangles } = mesh
  const count = triangles.length / 3
  const turned = new Uint8Array(count)
  const sheetOf = new Uint32Array(count).fill(0xffffffff)
  const queue = new Uint32Array(count)
  let sheets = 0
  const areas = triangleAreas(mesh)
  for (let seed = 0; seed < count; seed++) {
    if (sheetOf[seed] !== 0xffffffff) continue
    let head = 0
    let tail = 0
    let turnedArea = 0
    let area = 0
    queue[tail++] = seed
    sheetOf[seed] = sheets
    while (head < tail) {
      const t = queue[head++]!
      area += areas[t]!
      if (turned[t] === 1) turnedArea += areas[t]!
      for (let h = 3 * t; h < 3 * t + 3; h++) {
        const across = twin[h]!
        if (across < 0) continue
        const u = Math.floor(across / 3)
        if (sheetOf[u] !== 0xffffffff) continue
        sheetOf[u] = sheets
        const alongside = triangles[h] === triangles[across]
        turned[u] = alongside ? 1 - turned[t]! : turned[t]!
        queue[tail++] = u
      }
    }
    if (2 * turnedArea > area) for (let k = 0; k < tail; k++) turned[queue[k]!] = 1 - turned[queue[k]!]!
    sheets++
  }
  return { turned, sheetOf, sheets }
}

/** Above this many closed sheets, none is looked upon as a cavity of another. */
const MOST_SHEETS = 200

function inwardSheets(mesh: Mesh, border: readonly number[], sheetOf: Uint32Array, sheets: number): Uint8Array {
  const shells = measureShells(mesh, sheetOf, sheets)
  const { isOpen, cones } = closeByCones(mesh, border, sheetOf, sheets)
  const closed = shells.flatMap((_, i) => (isOpen[i] === 0 ? [i] : []))
  const weighty = closed.filter((i) => Math.abs(shells[i]!.signedVolumeMm3) > LEAST_VOLUME * shells[i]!.areaMm2 ** 1.5)
  const isWrong = new Uint8Array(sheets)
  for (const i of weighty) {
    const mayBeCavity = closed.length <= MOST_SHEETS
    const depth = mayBeCavity ? enclosingShells(mesh, sheetOf, shells, i, (j) => isOpen[j] === 0) : 0
    isWrong[i] = shells[i]!.signedVolumeMm3 > 0 === (depth % 2 === 0) ? 0 : 1
  }
  const allWrong = weighty.every((i) => isWrong[i] === 1)
  const turn = shells.map(({ signedVolumeMm3, areaMm2 }, i) =>
    isOpen[i] === 1
      ? signedVolumeMm3 + cones[i]! < -LEAST_SAY * areaMm2 ** 1.5
      : isWrong[i] === 1 && (allWrong || signedVolumeMm3 < 0),
  )
  const large = shells
    .map((_, i) => i)
    .sort((a, b) => shells[b]!.areaMm2 - shells[a]!.areaMm2)
    .slice(0, MOST_HOMES)
  return Uint8Array.from(shells, (shell, i) => {
    const home = isOpen[i] === 1 ? largestAround(shells, large, shell, i) : i
    return turn[home] ? 1 : 0
  })
}

/** Only so many of the largest sheets can take others along, so that a heap of loose triangles stays quick. */
const MOST_HOMES = 20

/** The largest sheet whose box holds this one's; itself when there is none. */
function largestAround(shells: readonly Shell[], large: readonly number[], shell: Shell, i: number): number {
  return large.find((j) => j !== i && shells[j]!.areaMm2 > shell.areaMm2 && isInBox(shells[j]!, shell)) ?? i
}

/** Volume over area^1.5 below which a closed sheet has no inside to speak of. */
const LEAST_VOLUME = 1e-9

/** Volume over area^1.5 below which the cone says little; a sphere has 0.094. */
const LEAST_SAY = 1e-3

function triangleAreas({ positions: p, triangles }: Mesh): Float64Array {
  const areas = new Float64Array(triangles.length / 3)
  for (let t = 0; t < triangles.length; t += 3) {
    const a = 3 * triangles[t]!
    const b = 3 * triangles[t + 1]!
    const c = 3 * triangles[t + 2]!
    const ux = p[b]! - p[a]!
    const uy = p[b + 1]! - p[a + 1]!
    const uz = p[b + 2]! - p[a + 2]!
    const vx = p[c]! - p[a]!
    const vy = p[c + 1]! - p[a + 1]!
    const vz = p[c + 2]! - p[a + 2]!
    const nx = uy * vz - uz * vy
    const ny = uz * vx - ux * vz
    const nz = ux * vy - uy * vx
    areas[t / 3] = Math.sqrt(nx * nx + ny * ny + nz * nz) / 2
  }
  return areas
}

/** Which sheets have borders, and the volume of a cone from the mean of its border to the border of each. */
function closeByCones(mesh: Mesh, border: readonly number[], sheetOf: Uint32Array, sheets: number) {
  const { triangles, positions: p } = mesh
  const isOpen = new Uint8Array(sheets)
  const apex = new Float64Array(3 * sheets)
  const cones = new Float64Array(sheets)
  const edges = new Uint32Array(sheets)
  for (const h of border) {
    const sheet = sheetOf[Math.floor(h / 3)]!
    isOpen[sheet] = 1
    edges[sheet]!++
    for (let k = 0; k < 3; k++) apex[3 * sheet + k]! += p[3 * triangles[h]! + k]!
  }
  const origin = middle(p)
  for (const h of border) {
    const sheet = sheetOf[Math.floor(h / 3)]!
    const about = (v: number): Vec3 => [p[3 * v]! - origin[0], p[3 * v + 1]! - origin[1], p[3 * v + 2]! - origin[2]]
    const top: Vec3 = [
      apex[3 * sheet]! / edges[sheet]! - origin[0],
      apex[3 * sheet + 1]! / edges[sheet]! - origin[1],
      apex[3 * sheet + 2]! / edges[sheet]! - origin[2],
    ]
    cones[sheet]! += dot(about(triangles[nextHalfEdge(h)]!), cross(about(triangles[h]!), top)) / 6
  }
  return { isOpen, cones }
}
