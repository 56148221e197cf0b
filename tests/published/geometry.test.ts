import { describe, expect, test } from 'vitest'
import { clip } from '../../src/geometry/clip.ts'
import { halfSpace } from '../../src/geometry/half-space.ts'
import { centroid, solidMoments, volume } from '../../src/geometry/measure.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { flipped, type Plane } from '../../src/geometry/plane.ts'
import { section } from '../../src/geometry/section.ts'
import { buildTree } from '../../src/geometry/tree.ts'
import { addScaled, dot, scale, toRad, unit, type Vec3 } from '../../src/geometry/vec.ts'
import { cylinder, frustum, icosphere, stretched, tetrahedron } from '../fixtures/shapes.ts'
import { expectNear, expectOk } from '../near.ts'

/**
 * Richardson's extrapolation of a quantity whose error falls by 4 when a mesh's edges are halved (L. F. Richardson,
 * Phil Trans R Soc A 1911;210:307): two meshes give the smooth body's value far better than the finer one alone.
 */
const extrapolated = (coarse: number, fine: number): number => fine + (fine - coarse) / 3

describe('mass properties of polyhedra', () => {
  test('moments of the tetrahedron (0,0,0) (5,0,0) (0,4,0) (0,0,3)', () => {
    // Worked example distributed with Mirtich, J Graphics Tools 1996;1(2):31 (from memory; also elementary integrals:
    // ∫x dV = V·a/4, ∫x² dV = V·a²/10, ∫xy dV = V·ab/20 for a corner tetrahedron with legs a, b, c).
    const m = solidMoments(tetrahedron([0, 0, 0], [5, 0, 0], [0, 4, 0], [0, 0, 3]), [0, 0, 0])
    const because = 'exact rationals'
    expectNear(m.volumeMm3, 10, { rel: 1e-14, because })
    ;[12.5, 10, 7.5].forEach((v, k) => {
      expectNear(m.moment[k]!, v, { rel: 1e-14, because })
    })
    // ∫x², ∫y², ∫z², ∫xy, ∫yz, ∫zx
    ;[25, 16, 9, 10, 6, 7.5].forEach((v, k) => {
      expectNear(m.second[k]!, v, { rel: 1e-14, because })
    })
  })

  test('the cube of the polygon-file format’s own text has volume 1 and centre (½, ½, ½)', () => {
    // G. Turk, The PLY Polygon File Format, 1994: vertices and six faces as printed there, fanned.
    const positions = new Float64Array([0, 0, 0, 0, 0, 1, 0, 1, 1, 0, 1, 0, 1, 0, 0, 1, 0, 1, 1, 1, 1, 1, 1, 0])
    const quads = [
      [0, 1, 2, 3],
      [7, 6, 5, 4],
      [0, 4, 5, 1],
      [1, 5, 6, 2],
      [2, 6, 7, 3],
      [3, 7, 4, 0],
    ]
    const triangles = new Uint32Array(quads.flatMap(([a, b, c, d]) => [a!, b!, c!, a!, c!, d!]))
    expectNear(volume({ positions, triangles }), 1, { rel: 1e-15, because: 'whole numbers' })
    expect(centroid({ positions, triangles })).toEqual([0.5, 0.5, 0.5])
  })

  test('inscribed icospheres approach 4π/3 as computed for levels 0 to 5', () => {
    // Relative error of the inscribed icosphere: level 0 is the regular icosahedron of circumradius 1, whose volume
    // is (5/12)(3+√5)a³ with a = 4/√(10+2√5) (Coxeter, Regular Polytopes, 1973); levels 1–5 computed independently of
    // this code.
    const expected = [-0.394539, -0.126547, -0.033839, -0.008606, -0.0021608, -0.00054079]
    expected.forEach((error, level) => {
      expectNear(volume(icosphere(1, level)) / ((4 / 3) * Math.PI) - 1, error, {
        abs: level < 4 ? 6e-7 : 6e-8,
        because: 'digits of the reference',
      })
    })
    const edge = 4 / Math.sqrt(10 + 2 * Math.sqrt(5))
    expectNear(volume(icosphere(1, 0)), (5 / 12) * (3 + Math.sqrt(5)) * edge ** 3, {
      rel: 1e-14,
      because: 'closed form',
    })
  })

  test('prisms of 16, 32, 64 and 128 sides over the cylinder’s volume', () => {
    // n-gon over circle: (n/2π)·sin(2π/n); the ratios were computed independently and are elementary.
    const expected = { 16: 0.974495, 32: 0.993587, 64: 0.998394, 128: 0.999598 }
    for (const [sides, ratio] of Object.entries(expected)) {
      expectNear(volume(cylinder(30, 10, Number(sides))) / (Math.PI * 900 * 10), ratio, {
        abs: 6e-7,
        because: 'digits of the reference',
      })
    }
  })
})

/** Volume, section area and centroid of the positive side; volume and area by flux, centroid from the capped mesh. */
function positivePart(mesh: Mesh, plane: Plane): { volumeMm3: number; areaMm2: number; centre: Vec3 } {
  const tree = buildTree(mesh)
  const kept = expectOk(clip(mesh, plane)).kept
  const { volumeMm3 } = halfSpace(tree, flipped(plane))
  expectNear(volume(kept), volumeMm3, { rel: 1e-10, because: 'flux and capped mesh measure one solid' })
  return { volumeMm3, areaMm2: section(tree, plane).areaMm2, centre: centroid(kept)! }
}

describe('clipped solids against closed forms', () => {
  test('cap of a sphere: R 25, height 10', () => {
    // V = πh²(3R−h)/3, centroid 3(2R−h)²/(4(3R−h)) from the centre (any handbook of solids, e.g. Bronshtein &
    // Semendyayev, Handbook of Mathematics): 6806.784083 mm³, 18.461538 mm; circle of the cut of radius 20.
    const plane: Plane = { point: [0, 0, 15], normal: [0, 0, 1] }
    const [coarse, fine] = [5, 6].map((level) => positivePart(icosphere(25, level), plane))
    const because = 'icosphere of level 6, error of fourth order left after extrapolation'
    expectNear(extrapolated(coarse!.volumeMm3, fine!.volumeMm3), 6806.784083, { rel: 2e-5, because })
    expectNear(extrapolated(coarse!.centre[2], fine!.centre[2]), 18.461538, { rel: 1e-5, because })
    expectNear(Math.sqrt(extrapolated(coarse!.areaMm2, fine!.areaMm2) / Math.PI), 20, { rel: 2e-5, because })
  })

  test('frustum of a cone: radii 20 and 12, height 30, cut out of the whole cone', () => {
    // V = πH(R1² + R1R2 + R2²)/3, centroid H(R1² + 2R1R2 + 3R2²)/(4(R1² + R1R2 + R2²)) from the big end:
    // 24630.086404, 12.551020.
    const plane: Plane = { point: [0, 0, 30], normal: [0, 0, -1] }
    const [coarse, fine] = [256, 512].map((sides) => positivePart(frustum(20, 4, 60, sides), plane))
    const because = 'polygon of 512 sides, extrapolated'
    expectNear(extrapolated(coarse!.volumeMm3, fine!.volumeMm3), 24630.086404, { rel: 1e-8, because })
    expectNear(extrapolated(coarse!.centre[2], fine!.centre[2]), 12.55102, {
      rel: 1e-7,
      because: 'digits of the reference',
    })
  })

  test('ellipsoid 40, 25, 20 cut by a plane along (0.2, 0.3, 1), 8 mm from its centre', () => {
    // Affine image of the sphere cap: s = √Σ(aᵢnᵢ)², t = 8/s, V = abc·π(1−t)²(2+t)/3 = 19547.133776, area
    // πabc(1−t²)/s = 2521.222110, centroid (8.357509, 4.896977, 10.446886). Reference values computed apart from this
    // code and confirmed there by Monte Carlo.
    const normal = unit([0.2, 0.3, 1])
    const plane: Plane = { point: scale(normal, 8), normal }
    const [coarse, fine] = [5, 6].map((level) => positivePart(stretched(icosphere(1, level), 40, 25, 20), plane))
    const because = 'icosphere of level 6, extrapolated'
    expectNear(extrapolated(coarse!.volumeMm3, fine!.volumeMm3), 19547.133776, { rel: 2e-5, because })
    expectNear(extrapolated(coarse!.areaMm2, fine!.areaMm2), 2521.22211, { rel: 2e-5, because })
    ;[8.357509, 4.896977, 10.446886].forEach((v, k) => {
      expectNear(extrapolated(coarse!.centre[k]!, fine!.centre[k]!), v, { absMm: 2e-4, because })
    })
    expectNear(dot(normal, fine!.centre), 12.782027, { absMm: 5e-3, because: 'without extrapolation' })
  })

  test('cylinder R 30 under a top tilted by 5° at height 10 on the axis', () => {
    // V = πR²h = 28274.333882 whatever the tilt; the centroid moves by R² tan/(4h) = 1.968495 towards the high side,
    // z = 5.086110.
    const tilt = toRad(5)
    const plane: Plane = { point: [0, 0, 10], normal: [Math.sin(tilt), 0, -Math.cos(tilt)] }
    const [coarse, fine] = [256, 512].map((sides) => positivePart(cylinder(30, 40, sides), plane))
    const because = 'polygon of 512 sides, extrapolated'
    expectNear(extrapolated(coarse!.volumeMm3, fine!.volumeMm3), 28274.333882, { rel: 1e-8, because })
    expectNear(extrapolated(coarse!.centre[0], fine!.centre[0]), 1.968495, {
      absMm: 1e-6,
      because: 'digits of the reference',
    })
    expectNear(extrapolated(coarse!.centre[2], fine!.centre[2]), 5.08611, {
      absMm: 1e-6,
      because: 'digits of the reference',
    })
  })

  test('wedge of half a cylinder, R 30, 5°', () => {
    // V = ⅔R³ tan(5°) = 1574.795944 (Archimedes' hoof).
    const tilt = toRad(5)
    const wedge = (sides: number): number => {
      const half = expectOk(clip(cylinder(30, 40, sides), { point: [0, 0, 0], normal: [1, 0, 0] })).kept
      return halfSpace(buildTree(half), {
        point: [0, 0, 0],
        normal: [-Math.sin(tilt), 0, Math.cos(tilt)],
      }).volumeMm3
    }
    expectNear(extrapolated(wedge(256), wedge(512)), 1574.795944, {
      rel: 1e-7,
      because: 'polygon of 512 sides, extrapolated',
    })
  })

  test('the area of the section is the rate at which volume grows with depth', () => {
    const mesh = stretched(icosphere(1, 5), 40, 25, 20)
    const tree = buildTree(mesh)
    const normal = unit([0.2, 0.3, 1])
    const at = (mm: number): Plane => ({ point: addScaled([0, 0, 0], normal, mm), normal })
    const h = 1e-3
    const rate = (halfSpace(tree, at(8 + h)).volumeMm3 - halfSpace(tree, at(8 - h)).volumeMm3) / (2 * h)
    expectNear(rate, halfSpace(tree, at(8)).areaMm2, { rel: 1e-6, because: 'central difference over 2 µm' })
  })
})
