import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { newCase } from '../../src/casefile/document.ts'
import { caseText, parseCase, parseCaseText } from '../../src/casefile/schema.ts'
import { makeBone } from '../../src/geometry/bone.ts'
import type { Mesh } from '../../src/geometry/mesh.ts'
import { type BearingGeometry, solveBearing } from '../../src/loading/bearing.ts'
import { bearingGeometry, defaultBearing } from '../../src/loading/bearing-geometry.ts'
import { checkedTable, type ProfileTable, tableProfile } from '../../src/loading/own-profiles.ts'
import { arc, heightOf, type Profile } from '../../src/loading/profile.ts'
import { profilesFromMesh } from '../../src/loading/profile-from-mesh.ts'
import { parseProfile } from '../../src/studies/profile-table.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'

/** An arc walked every `step`, on a level of its own. */
function sampled(profile: Profile, reach: number, step: number, level = 7.5): ProfileTable {
  const height = heightOf(profile)
  const count = Math.round(reach / step)
  return Array.from(
    { length: 2 * count + 1 },
    (_, k) => [(k - count) * step, level + height((k - count) * step)] as const,
  )
}

const tray: BearingGeometry = {
  femoralCoronal: arc(30),
  femoralSagittal: arc(36),
  insertCoronal: arc(40),
  insertSagittal: arc(60),
  condylesMm: [-23, 23],
  dishesMm: [-23, 23],
  dishForwardMm: 0,
  rim: [
    [-37, -24],
    [37, -24],
    [37, 24],
    [-37, 24],
  ],
  foundation: { modulusMpa: 463, poisson: 0.46, thicknessMm: 8, law: 'linear' },
}
const facing = { tiltDeg: 0, rotationDeg: 0, shiftLateralMm: 0, shiftAnteriorMm: 0 }
const solve = (change: Partial<BearingGeometry>, rotationDeg = 0) =>
  solveBearing(
    { ...tray, ...change },
    { ...facing, rotationDeg },
    { compressionN: 2000, lateralN: 40, anteriorN: 30, atLateralMm: 4 },
    { cellMm: 0.5, only: null },
  )

describe('a bearing with its own profiles', () => {
  it('bears as its arcs do when the tables walk those arcs, facing and turned', () => {
    const own = {
      femoralCoronal: tableProfile(sampled(arc(30), 20, 0.1)),
      femoralSagittal: tableProfile(sampled(arc(36), 20, 0.1)),
      insertCoronal: tableProfile(sampled(arc(40), 20, 0.1)),
      insertSagittal: tableProfile(sampled(arc(60), 30, 0.1)),
    }
    for (const turn of [0, 5]) {
      const table = expectOk(solve(own, turn))
      const arcs = expectOk(solve({}, turn))
      for (const side of ['medial', 'lateral'] as const) {
        const because = 'chords of 0.1 mm on a radius of 30 mm lie at most 0.00004 mm off the arc'
        expectNear(table[side]!.peakMpa, arcs[side]!.peakMpa, { rel: 2e-3, because })
        expectNear(table[side]!.loadN, arcs[side]!.loadN, { rel: 2e-3, because })
      }
    }
  })

  it('ends where its table ends: no pressure beyond, none negative, and the load is still carried', () => {
    fc.assert(
      fc.property(fc.double({ min: 1.5, max: 6, noNaN: true }), (reach) => {
        const cut = sampled(arc(40), reach, reach / 20)
        const solved = expectOk(solve({ insertCoronal: tableProfile(cut) }))
        const { field, pressureMpa } = solved
        let worst = 0
        for (let k = 0; k < pressureMpa.length; k++) {
          const x = field.lowX + (k % field.columns) * field.cellMm
          const off = Math.min(Math.abs(x - 23), Math.abs(x + 23))
          if (pressureMpa[k]! > 0) worst = Math.max(worst, off)
          if (!(pressureMpa[k]! >= 0)) worst = Number.POSITIVE_INFINITY
        }
        expect(worst).toBeLessThanOrEqual(reach + field.cellMm)
        expectNear(solved.medial!.loadN + solved.lateral!.loadN, 2000, { rel: 1e-6, because: 'equilibrium' })
      }),
      { numRuns: 15 },
    )
  })

  it('presses harder at a tighter edge than on the main radius alone', () => {
    const edge = { kind: 'arc', radiusMm: 30, flatMm: 0, edgeAtMm: 2, edgeRadiusMm: 4 } as const
    expect(expectOk(solve({ femoralCoronal: edge })).medial!.peakMpa).toBeGreaterThan(
      expectOk(solve({})).medial!.peakMpa,
    )
  })

  it('comes from the case into the geometry, radii and edges by number and tables as they are', () => {
    const plan = {
      procedure: 'total',
      implants: {
        family: 'generic-total',
        femurSize: 4,
        femurSizeSource: 'chosen',
        femurRunnerUp: null,
        tibiaSize: 4,
        tibiaSizeSource: 'chosen',
        tibiaRunnerUp: null,
        insertMm: 9,
      },
    } as const
    const femoralCoronal = sampled(arc(25), 10, 1)
    const made = expectOk(
      bearingGeometry(
        plan,
        {
          ...defaultBearing,
          femoralSagittalRadiusMm: 33,
          femoralEdgeAtMm: 8,
          own: { ...defaultBearing.own, insertSagittal: femoralCoronal },
        },
        { outline: tray.rim },
        0,
      ),
    )
    expect(made.femoralCoronal).toMatchObject({ edgeAtMm: 8, edgeRadiusMm: 4 })
    expect(made.femoralSagittal).toMatchObject({ kind: 'arc', radiusMm: 33 })
    expect(made.insertSagittal).toMatchObject({ kind: 'table' })
    expectNear(heightOf(made.insertSagittal)(0), 0, { absMm: 1e-12, because: 'the level of the table is taken out' })
  })

  it('survives saving, and is refused when its points do not rise or stay on one side', () => {
    const table = sampled(arc(30), 5, 1)
    const own = { ...newCase.bearing.own, femoralCoronal: table }
    const document = { ...newCase, bearing: { ...newCase.bearing, own } }
    expect(expectOk(parseCaseText(caseText(document))).bearing.own).toEqual(own)
    const { own: _, ...older } = newCase.bearing
    expect(expectOk(parseCase({ ...newCase, bearing: older })).bearing.own).toEqual(newCase.bearing.own)
    const with_ = (points: ProfileTable) =>
      parseCase({ ...document, bearing: { ...document.bearing, own: { ...own, insertCoronal: points } } })
    expectFailure(with_(table.toReversed()), 'case/out-of-range')
    expectFailure(with_(table.slice(0, 4)), 'case/out-of-range')
    expectFailure(checkedTable(table.slice(4, 6), ''), 'case/out-of-range')
  })
})

describe('a profile', () => {
  it('reads from a table with its columns in any order, and names the row that is wrong', () => {
    const text = 'height_mm,direction,at_mm\n1,coronal,-2\n0,coronal,0\n1,coronal,2\n'
    expect(expectOk(parseProfile(text))).toEqual({
      coronal: [
        [-2, 1],
        [0, 0],
        [2, 1],
      ],
      sagittal: null,
    })
    for (const wrong of [
      '',
      'at_mm,height_mm\n0,0\n',
      'direction,at_mm,height_mm\n',
      'direction,at_mm,height_mm\nacross,0,0\n',
      'direction,at_mm,height_mm\ncoronal,x,0\n',
      'direction,at_mm,height_mm\ncoronal,,0\n',
    ])
      expectFailure(parseProfile(wrong), 'case/syntax')
    expectFailure(
      parseProfile('direction,at_mm,height_mm\ncoronal,0,0\ncoronal,-1,0\ncoronal,1,1\n'),
      'case/out-of-range',
    )
  })

  it('taken from a mesh of a torus-like condyle follows both its radii, and from its cast the dish', () => {
    const [across, along] = [24, 36]
    const condyle = expectOk(makeBone(patch(across, along, 3.25, -1.5, false)))
    const found = expectOk(profilesFromMesh(condyle, 'condyle'))
    const dish = expectOk(profilesFromMesh(expectOk(makeBone(patch(across, along, 3.25, -1.5, true))), 'dish'))
    for (const pair of [found, dish])
      for (const [table, radius] of [
        [pair.coronal, across],
        [pair.sagittal, along],
      ] as const) {
        expect(table.length).toBeGreaterThan(40)
        const height = heightOf(tableProfile(table))
        for (const at of [-9, -4, 0, 4, 9])
          expectNear(height(at), radius - Math.sqrt(radius * radius - at * at), {
            absMm: 0.06,
            because: 'facets of 0.5 mm; the middle is found to within 0.13 mm, on a slope of up to 0.4',
          })
      }
    expectFailure(profilesFromMesh(expectOk(makeBone(patch(4, 4, 0, 0, false, 0.4))), 'condyle'), 'case/out-of-range')
  })
})

/** A raster of z = sagitta of one radius across plus one along, its lowest point at (x0, y0), open; hollow for a dish. */
function patch(across: number, along: number, x0: number, y0: number, hollow: boolean, reach = 12): Mesh {
  const n = Math.round(reach / 0.5)
  const rise = (r: number, x: number) => r - Math.sqrt(r * r - x * x)
  const positions: number[] = []
  for (let j = -n; j <= n; j++)
    for (let i = -n; i <= n; i++) {
      const [x, y] = [(i * reach) / n, (j * reach) / n]
      positions.push(x0 + x, y0 + y, rise(across, x) + rise(along, y))
    }
  const triangles: number[] = []
  const w = 2 * n + 1
  for (let j = 0; j < w - 1; j++)
    for (let i = 0; i < w - 1; i++) {
      const [a, b, c, d] = [j * w + i, j * w + i + 1, (j + 1) * w + i, (j + 1) * w + i + 1]
      triangles.push(...(hollow ? [a, b, d, a, d, c] : [a, d, b, a, c, d]))
    }
  return { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) }
}
