import { describe, expect, it } from 'vitest'
import { outerSurface } from '../../src/anatomy/outer-surface.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipWinding } from '../../src/geometry/transform.ts'
import { add, distance, scale, type Vec3 } from '../../src/geometry/vec.ts'
import { boneOf, femurOf, realMesh } from './bones.ts'
import { offsetMesh } from './offset-mesh.ts'

/** A cube of this edge about a point. */
function cube(at: Vec3, edgeMm: number): Mesh {
  const positions = Float64Array.from({ length: 24 }, (_, i) => {
    const corner = Math.floor(i / 3)
    return at[i % 3]! + edgeMm * (((corner >> (i % 3)) & 1) - 0.5)
  })
  const triangles = Uint32Array.from([
    ...[0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4],
    ...[2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5],
  ])
  return { positions, triangles }
}

function together(...meshes: readonly Mesh[]): Mesh {
  const positions = Float64Array.from(meshes.flatMap((mesh) => [...mesh.positions]))
  let first = 0
  const triangles = Uint32Array.from(
    meshes.flatMap((mesh) => {
      const corners = [...mesh.triangles].map((v) => v + first)
      first += mesh.positions.length / 3
      return corners
    }),
  )
  return { positions, triangles }
}

describe('the surface that landmarks are looked for on', () => {
  const mesh = realMesh('bp3d/femur_right.stl')
  const whole = femurOf(mesh)
  const beside = (id: 'hipCentre' | 'condyleDistalMedial', away: Vec3) => add(whole.landmarks[id]!.mm, away)

  it('is a clean bone itself', () => {
    const bone = boneOf(mesh)
    expect(outerSurface(bone)).toEqual({ bone, islands: 0, inner: 0 })
  })

  it('leaves out loose pieces beside the head and below a condyle, and the wall of the canal, and finds the same', () => {
    const wall = { ...offsetMesh(mesh, -3), triangles: flipWinding(mesh.triangles) }
    const below = beside('condyleDistalMedial', scale(whole.frame.y, -9))
    const spoiled = boneOf(together(mesh, wall, cube(beside('hipCentre', [60, 0, 0]), 6), cube(below, 3)))
    expect(outerSurface(spoiled)).toMatchObject({ islands: 2, inner: 1 })
    const found = femurOf(spoiled.mesh)
    for (const id of ['hipCentre', 'condyleDistalMedial', 'condylePosteriorLateral', 'notchCentre'] as const)
      expect(distance(found.landmarks[id]!.mm, whole.landmarks[id]!.mm), id).toBeLessThan(1e-3)
  })
})
