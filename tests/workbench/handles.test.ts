import { readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { assessFully } from '../../src/assess.ts'
import { boneFromBytes } from '../../src/casefile/bone-from-bytes.ts'
import { findAnatomy } from '../../src/casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../../src/casefile/document.ts'
import { identityRigid } from '../../src/geometry/rigid.ts'
import { addScaled, dot, sub } from '../../src/geometry/vec.ts'
import { isFemoral } from '../../src/planning/terms.ts'
import { handledCuts } from '../../src/workbench/scene/cut-handles.ts'
import { cutSheet } from '../../src/workbench/scene/cut-sheet.ts'
import { expectOk } from '../near.ts'
import { sharedPath } from '../shared.ts'

const open = (path: string) => expectOk(boneFromBytes(readFileSync(sharedPath(path)), path, 1)).bone
const bones = { femur: open('bones/hra/femur_right.ply'), tibia: open('bones/hra/tibia_right.ply') }
const anatomy = expectOk(findAnatomy(newCase, bones))

/** Every sheet of the plan and where its component's tray lies, in the files' frames. */
function planned(document: CaseDocument, alone = false) {
  const { plan } = expectOk(assessFully(document, bones, [], 'live', anatomy))
  const sheets = plan.cuts.flatMap((cut) => {
    const own = cut.bone === 'femur' ? anatomy.femur : anatomy.tibia
    const sheet = cutSheet({
      cut,
      side: plan.side,
      procedure: plan.procedure,
      anatomy: own,
      sceneFromBone: identityRigid,
      alone,
    })
    return sheet ? [sheet] : []
  })
  return { plan, sheets }
}

test('every cut has handles, and each is pulled the way the plan moves when its number grows', () => {
  for (const procedure of ['total', 'medial-partial'] as const) {
    const document = { ...newCase, procedure }
    const before = planned(document)
    for (const id of handledCuts[procedure]) {
      const sheet = before.sheets.find((s) => s.id === id)!
      expect(sheet.handles.length, id).toBeGreaterThan(0)
      for (const handle of sheet.handles) {
        const { field } = handle
        const value = field.read(document) ?? field.shown?.(before.plan as never) ?? 0
        const { plan, sheets } = planned(field.write(document, value + 2))
        const moved = sheets.find((s) => s.id === id)!
        // A tray's turn and shift move the tray in its sheet; everything else moves the sheet.
        const inSheet = handle.seenFromAbove || (id === 'tibia' && field.step === 'tray rotation')
        const step = inSheet
          ? trayStep(before.plan, plan, handle.kind)
          : handle.kind === 'depth'
            ? sub(moved.centre, sheet.centre)
            : sub(grip(moved, field.step), grip(sheet, field.step))
        if (id === 'femur-distal' && handle.seenFromAbove) continue
        expect(dot(step, handle.grows), `${procedure} ${id}: ${field.step}`).toBeGreaterThan(0.02)
      }
    }
  }
})

test('a femoral cut alone is pulled by its own three handles the way it moves, and the component stays', () => {
  for (const procedure of ['total', 'medial-partial'] as const) {
    const document = { ...newCase, procedure }
    const before = planned(document, true)
    for (const id of handledCuts[procedure].filter(isFemoral)) {
      const sheet = before.sheets.find((s) => s.id === id)!
      expect(
        sheet.handles.map(({ kind }) => kind),
        id,
      ).toEqual(['depth', 'angle', 'angle'])
      for (const handle of sheet.handles) {
        const { plan, sheets } = planned(handle.field.write(document, 2), true)
        const moved = sheets.find((s) => s.id === id)!
        const step =
          handle.kind === 'depth'
            ? sub(moved.centre, sheet.centre)
            : sub(grip(moved, handle.field.step), grip(sheet, handle.field.step))
        expect(dot(step, handle.grows), `${procedure} ${id}: ${handle.field.step}`).toBeGreaterThan(0.02)
        expect(plan.components[0]!.patientFromComponent).toEqual(before.plan.components[0]!.patientFromComponent)
      }
    }
  }
})

type Sheets = ReturnType<typeof planned>

/** Where the arm of the handle with this step is held. */
function grip(sheet: Sheets['sheets'][number], step: string) {
  const handle = sheet.handles.find((h) => h.field.step === step)!
  return addScaled([0, 0, 0], handle.arm, handle.reachMm)
}

/** How the tray's centre moved, or its front when it was turned. */
function trayStep(before: Sheets['plan'], after: Sheets['plan'], kind: 'depth' | 'angle') {
  return kind === 'depth'
    ? sub(after.tray.centre, before.tray.centre)
    : sub(before.tray.posterior, after.tray.posterior)
}
