import { readFileSync } from 'node:fs'
import { beforeAll, expect, test } from 'vitest'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { meshKey } from '../../src/casefile/mesh-key.ts'
import type { Assessment, JobContext, OpenedMesh } from '../../src/engine/contract.ts'
import { createHandlers } from '../../src/engine/handlers.ts'
import { readMesh } from '../../src/formats/read.ts'
import { writeStl } from '../../src/formats/write-stl.ts'
import { cellAt } from '../../src/workbench/scene/painted.ts'
import { expectFailure, expectNear, expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const context: JobContext = { progress: () => {}, transfer: () => {}, signal: new AbortController().signal }
const handlers = createHandlers()

async function open(...path: string[]): Promise<OpenedMesh> {
  const name = path.at(-1)!
  const file = new Blob([readFileSync(sharedPath('bones', ...path))])
  return expectOk(await handlers['open-mesh']({ file, name, unitFactor: null, repairs: [] }, context))
}

let document: CaseDocument
let assessment: Assessment

beforeAll(async () => {
  const femur = await open('bp3d', 'femur_right.stl')
  const tibia = await open('bp3d', 'tibia_right.stl')
  for (const { key, mesh } of [femur, tibia]) expectOk(await handlers['hold-bone']({ key, mesh }, context))
  document = { ...newCase, meshes: { femur: femur.reference, tibia: tibia.reference } }
  assessment = expectOk(await handlers.assess({ document, fileWarnings: [], depth: 'live' }, context))
})

test('an opened file says what it is, and its display copy stands for every triangle', async () => {
  const opened = await open('bp3d', 'femur_right.stl')
  expect(opened).toMatchObject({ boneGuess: 'femur', sideGuess: 'right', unitGuess: 'mm', declaredTriangles: 12_990 })
  expect(opened.health.closed).toBe(true)
  expect(opened.display.positions.length).toBe(9 * opened.display.ofTriangles)
})

test('a closed surface wound inside out is turned outward and said to have been', async () => {
  const opened = await open('defects', 'tibia_left_inward.stl')
  expect(opened.volumeMm3).toBeGreaterThan(0)
  expect(opened.warnings.map((warning) => warning.code)).toContain('mesh/turned-outward')
})

test('a file in centimetres opens in millimetres once its unit is chosen', async () => {
  const bytes = readFileSync(sharedPath('bones', 'bp3d', 'tibia_right.stl'))
  const { mesh } = expectOk(readMesh(new Uint8Array(bytes), 'tibia.stl'))
  const inCentimetres = { ...mesh, positions: mesh.positions.map((v) => v / 10) }
  const file = new Blob([new Uint8Array(writeStl(inCentimetres))])
  const mm = await open('bp3d', 'tibia_right.stl')
  const cm = expectOk(await handlers['open-mesh']({ file, name: 'tibia', unitFactor: 10, repairs: [] }, context))
  expectNear(cm.volumeMm3!, mm.volumeMm3!, { rel: 1e-6, because: 'an STL holds 24 bits of each coordinate' })
  expect(cm.warnings.filter((warning) => warning.code.startsWith('unit/'))).toEqual([])
})

test('an assessment carries the drawing of the pose that the case shows', () => {
  const { findings, drawing } = assessment
  expect(drawing?.pose).toBe('feet-together')
  const shown = findings.stance.find((stance) => stance.pose === 'feet-together')!
  expect(Math.sign(drawing!.tray.lateral[1] - drawing!.tray.medial[1])).toBe(Math.sign(shown.trayToFloorCoronalDeg))
})

test('parts are two kept bones, a piece for each cut that takes bone, and the components', async () => {
  const { plan, findings } = assessment
  const made = expectOk(await handlers['plan-parts']({ meshes: document.meshes, plan, shown: null }, context))
  const parts = [...made.femur.parts!, ...made.tibia.parts!]
  const ids = (kind: string) => parts.filter((part) => part.kind === kind).map((part) => part.id)
  expect(ids('kept').toSorted()).toEqual(['femur-kept', 'tibia-kept'])
  const cutting = findings.cuts.filter((cut) => (cut.removedMm3 ?? 0) > 0).map((cut) => cut.id)
  expect(ids('removed').toSorted()).toEqual(cutting.toSorted())
  expect(ids('component').length).toBe(2)
  const piece = parts.find((part) => part.id === 'tibia')!
  expect(piece.display.cutFromCorner).toBeLessThan(piece.display.positions.length / 3)
  const normal = findings.cuts.find((cut) => cut.id === 'tibia')!.normal!
  const lifts = piece.lift!.reduce((sum, component, k) => sum + component * normal[k]!, 0)
  expectNear(lifts, -1, { abs: 1e-9, because: 'a piece lifts off against the normal, which points into the kept bone' })
})

test('a bone that another plan leaves as it is is not drawn anew, and an anatomy still shown is not sent again', async () => {
  const { plan, anatomyId } = assessment
  const { meshes } = document
  const first = expectOk(await handlers['plan-parts']({ meshes, plan, shown: null }, context))
  const shown = { femur: first.femur.key, tibia: first.tibia.key }
  const deeper = { ...document, cuts: { ...document.cuts, tibia: { ...document.cuts.tibia, depthMm: 12 } } }
  const input = { document: deeper, fileWarnings: [], depth: 'live', knownAnatomy: anatomyId } as const
  const next = expectOk(await handlers.assess(input, context))
  expect(next.anatomy).toBe(null)
  expect(next.anatomyId).toBe(anatomyId)
  const second = expectOk(await handlers['plan-parts']({ meshes, plan: next.plan, shown }, context))
  expect(second.femur).toEqual({ key: shown.femur, parts: null })
  expect(second.tibia.key).not.toBe(shown.tibia)
  const piece = (parts: typeof first.tibia) => parts.parts!.find((part) => part.id === 'tibia')!.display.positions
  expect(piece(second.tibia)).not.toEqual(piece(first.tibia))
})

test('a point is picked on the full mesh, and a ray that misses picks nothing', async () => {
  const key = meshKey(document.meshes.femur!)
  const hip = assessment.findings.landmarks.hipCentre!.mm
  const from = [hip[0], hip[1] - 500, hip[2]] as const
  const hit = expectOk(await handlers.pick({ key, origin: from, direction: [0, 1, 0] }, context))
  expectNear(hip[1] - hit.point![1], 23.1, {
    absMm: 1.5,
    because: 'the head is round with a radius of 23.1 mm to 1.5 mm',
  })
  expect(expectOk(await handlers.pick({ key, origin: from, direction: [0, -1, 0] }, context)).point).toBe(null)
})

test('what needs a bone that is not held says which', async () => {
  expectFailure(
    await createHandlers().assess({ document, fileWarnings: [], depth: 'live' }, context),
    'case/mesh-missing',
  )
  expectFailure(
    await handlers.pick({ key: 'none', origin: [0, 0, 0], direction: [1, 0, 0] }, context),
    'case/mesh-missing',
  )
})

test('a file that is no mesh fails with its own code', async () => {
  const file = new Blob(['no mesh at all'])
  const opened = await handlers['open-mesh']({ file, name: 'x.stl', unitFactor: null, repairs: [] }, context)
  expect(opened.ok).toBe(false)
})

test('the thickness of the tibial piece at the plateau points is the bone and kerf that the sites book', async () => {
  const { plan, findings } = assessment
  const { frame } = assessment.anatomy!.tibia
  const map = expectOk(
    await handlers['thickness-map'](
      { meshes: document.meshes, plan, cut: 'tibia', right: frame.z, up: frame.x },
      context,
    ),
  )
  const site = findings.sites.find(({ id }) => id === 'tibia-lateral')!
  expect(map.maxMm).toBeGreaterThan(site.distanceMm)
  expect(map.minMm).toBeGreaterThanOrEqual(0)
  for (const { id, point, distanceMm } of findings.sites.filter((planned) => planned.id.startsWith('tibia')))
    expectNear(map.thicknessMm[cellAt(map, point)!]!, distanceMm, {
      absMm: 0.4,
      because: `${id}: the cell’s middle lies up to half a millimetre from the point, on a slope`,
    })
  const inside = [...map.thicknessMm].filter((mm) => mm >= 0)
  expectNear(inside.reduce((sum, mm) => sum + mm, 0) / inside.length, map.meanMm, {
    rel: 0.02,
    because: 'the viewer’s grid takes the nearest sample of a grid of the same pitch',
  })
  const cut = findings.cuts.find(({ id }) => id === 'tibia')!
  expectNear(inside.length * map.stepMm ** 2, cut.sectionMm2!, {
    rel: 0.05,
    because: 'cells on the border count whole or not at all',
  })
})

test('what a piece is held against is each compartment’s own: at the sites the map says what they book, worn bone included', async () => {
  for (const change of [
    { wear: { ...document.wear, medialMm: 4, lateralMm: 0 } },
    {
      references: { ...document.references, meshSurface: 'cartilage' as const },
      wear: { ...document.wear, medialMm: 1 },
    },
  ]) {
    const { plan, findings, anatomy } = expectOk(
      await handlers.assess({ document: { ...document, ...change }, fileWarnings: [], depth: 'live' }, context),
    )
    for (const cut of ['tibia', 'femur-distal'] as const) {
      const { frame } = anatomy![cut === 'tibia' ? 'tibia' : 'femur']
      const input = { meshes: document.meshes, plan, cut, right: frame.z, up: frame.x }
      const map = expectOk(await handlers['thickness-map'](input, context))
      expect(map.needed).toHaveLength(2)
      for (const site of findings.sites.filter(({ id }) => id.startsWith(`${cut}-`)))
        expectNear(map.differenceMm![cellAt(map, site.point)!]!, site.differenceMm, {
          absMm: 0.4,
          because: `${site.id}: the cell’s middle lies up to half a millimetre from the point, on a slope`,
        })
      const [thin, thick] = map.extremes
      expectNear(thin!.mm, map.minMm, { absMm: 0.5, because: 'the viewer’s grid may miss the thinnest sample' })
      expectNear(thick!.mm, map.maxMm, { absMm: 0.2, because: 'the viewer’s grid may miss the thickest sample' })
      const neededThere = thick!.mm - thick!.differenceMm!
      expect(map.needed.some(({ neededMm }) => Math.abs(neededMm - neededThere) < 1e-5)).toBe(true)
    }
  }
})

test('a sphere fitted to paint on the head is the head, with a residual per corner drawn', async () => {
  const key = meshKey(document.meshes.femur!)
  const hip = assessment.findings.landmarks.hipCentre!.mm
  const balls = [[hip[0], hip[1] - 23.1, hip[2]] as const].map((centre) => ({ centre, radiusMm: 9 }))
  const input = { key, balls, points: [], kind: 'sphere', rejectBeyondSd: 3 } as const
  const { fit, patch } = expectOk(await handlers['fit-on-bone'](input, context))
  const sphere = expectOk(fit)
  expectNear(sphere.radiusMm!, 23.1, { absMm: 1.5, because: 'a small cap of a head that is round to 0.3 mm' })
  expect(patch!.residualMm).toHaveLength(patch!.display.positions.length / 3)
  const none = expectOk(await handlers['fit-on-bone']({ ...input, balls: [] }, context))
  expectFailure(none.fit, 'fit/degenerate')
  expect(none.patch).toBe(null)
})

test('the plan’s own cut plane, used as a fitted plane, gives the plan’s own numbers', async () => {
  const cut = assessment.findings.cuts.find(({ id }) => id === 'tibia')!
  const plane = { point: cut.point!, normal: cut.normal! }
  const by = { kind: 'plane', plane } as const
  const { cuts } = expectOk(await handlers['drive-cut']({ document, cut: 'tibia', by }, context))
  for (const name of ['varusDeg', 'slopeDeg', 'depthMm'] as const)
    expectNear(cuts.tibia[name]!, cut[name]!, { abs: 1e-6, because: 'the same plane, there and back; rounding' })
  const level = { kind: 'axis', direction: [1, 0, 0] } as const
  expectFailure(await handlers['drive-cut']({ document, cut: 'tibia', by: level }, context), 'case/out-of-range')
})

test('the face of every cut has the area that the plan states; the tray’s overhang and gap on it are those of its coverage', async () => {
  const { plan, findings } = assessment
  for (const planned of findings.cuts) {
    const input = { meshes: document.meshes, plan, cut: planned.id, right: [0, 0, 1], up: [1, 0, 0.01] } as const
    const face = await handlers['cut-section'](input, context)
    if (!face.ok || planned.sectionMm2 === null) {
      expect(planned.sectionMm2 ?? 0, planned.id).toBe(0)
      continue
    }
    expectNear(face.value.areaMm2, planned.sectionMm2, {
      rel: 1e-9,
      because: `${planned.id}: the same outlines, rounding`,
    })
    expect(face.value.component.length, planned.id).toBeGreaterThan(0)
  }
  const { frame } = assessment.anatomy!.tibia
  const tibial = { meshes: document.meshes, plan, cut: 'tibia', right: frame.z, up: frame.x } as const
  const { overhang, gap } = expectOk(await handlers['cut-section'](tibial, context))
  const { largestOverhangMm, largestGapMm } = findings.coverage!
  expectNear(overhang?.mm ?? 0, largestOverhangMm, {
    absMm: 0.05,
    because: 'the search places the tray by a thinned outline',
  })
  expectNear(gap?.mm ?? 0, largestGapMm, { absMm: 0.05, because: 'the same outline and the same tray' })
})
