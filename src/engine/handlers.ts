import { judgedLandmarks } from '../anatomy/judge-landmarks.ts'
import { outerSurface } from '../anatomy/outer-surface.ts'
import type { BoneName } from '../anatomy/terms.ts'
import { assessFully, prepareIntervals } from '../assess.ts'
import {
  type Anatomy,
  femurAlone,
  findAnatomy,
  findFemurOf,
  findTibiaOf,
  tibiaAlone,
} from '../casefile/case-anatomy.ts'
import { type CaseDocument, newCase } from '../casefile/document.ts'
import { meshKey } from '../casefile/mesh-key.ts'
import { fail, ok } from '../failure.ts'
import { makeBoundedBone } from '../geometry/bounded-bone.ts'
import { firstHit } from '../geometry/query.ts'
import { snapOnSurface } from '../geometry/snap-on-surface.ts'
import { cutSection } from '../planning/cut-section.ts'
import { piecesOf } from '../planning/pieces.ts'
import { type RecipeName, recipeNames } from '../planning/terms.ts'
import { stanceDrawing } from '../stance/drawing.ts'
import type { OtherLegBones } from '../stance/stand-other-leg.ts'
import { compareRecipes } from '../studies/compare-recipes.ts'
import { findLevelCut } from '../studies/level-finder.ts'
import { runLoadSeries } from '../studies/load-series.ts'
import { sawOff } from '../studies/saw-off.ts'
import { sweepAssumptions, sweepRow } from '../studies/sweep.ts'
import { type BoneShelf, bonesOf } from './bone-shelf.ts'
import type { JobHandlers } from './contract.ts'
import { companionsBesideKnee } from './jobs/companions-beside-knee.ts'
import { compareAchieved } from './jobs/compare-achieved.ts'
import { driveCut } from './jobs/drive-cut.ts'
import { findCrossings } from './jobs/find-crossings.ts'
import { fitOnBone } from './jobs/fit-on-bone.ts'
import { measureOther } from './jobs/measure-other.ts'
import { openMesh } from './jobs/open-mesh.ts'
import { previewOfRepair } from './jobs/preview-repair.ts'
import { readProfile } from './jobs/read-profile.ts'
import { thicknessOfPiece } from './jobs/thickness-of-piece.ts'
import { writeCase } from './jobs/write-case.ts'
import { lightDrawing } from './light-drawing.ts'
import { type BoneParts, boneParts, partsKey } from './plan-parts.ts'

/** The engine's answers. Bones stay on the shelf between jobs; everything else comes with the job. */
export function createHandlers(shelf: BoneShelf = new Map()): JobHandlers {
  /** What the finder last said, for as long as a landmark is in the hand. */
  let last: { readonly of: string; readonly anatomy: Anatomy } | null = null
  let other: OtherLegBones | null = null
  const anatomyName = namesOf<Anatomy>()
  return {
    'open-mesh': openMesh,
    'preview-repair': previewOfRepair,
    'find-crossings': findCrossings,
    'hold-bone': ({ key, mesh }) => {
      const known = shelf.get(key)
      const bone = known ? ok(known) : makeBoundedBone(mesh)
      if (!bone.ok) return bone
      shelf.set(key, bone.value)
      return ok({ closed: bone.value.closed })
    },
    'drop-bone': ({ key }) => {
      shelf.delete(key)
      return ok(null)
    },
    'find-landmarks': ({ key, bone, side, references, overrides }) => {
      const held = shelf.get(key)
      if (!held) return fail('case/mesh-missing', `The ${bone} is not open.`, { hint: 'Open it again.' })
      const document: CaseDocument = { ...newCase, references, side: side ?? null, landmarks: overrides }
      if (bone === 'femur') {
        const found = findFemurOf(document, held)
        if (!found.ok) return found
        const femur = judgedLandmarks(
          outerSurface(held).bone.mesh,
          found.value,
          femurAlone(document, held, found.value),
        )
        return ok({ femur, tibia: null })
      }
      const found = findTibiaOf(document, held, null)
      if (!found.ok) return found
      const tibia = judgedLandmarks(
        outerSurface(held).bone.mesh,
        found.value,
        tibiaAlone(document, held, found.value, null),
      )
      return ok({ femur: null, tibia })
    },
    assess: async ({ document, fileWarnings, depth, holdLandmarks, knownAnatomy }, context) => {
      const bones = bonesOf(shelf, document)
      if (!bones.ok) return bones
      const held = holdLandmarks && last?.of === bonesKey(document) ? last.anatomy : null
      if (!held) {
        context.progress(0, 'finding landmarks')
        const found = findAnatomy(document, bones.value)
        if (!found.ok) return found
        last = { of: bonesKey(document), anatomy: found.value }
      }
      if (depth === 'full' && !held) {
        for (const fraction of prepareIntervals(document, bones.value)) {
          context.progress(0.5 * fraction, 'intervals')
          await messagesThrough()
          if (context.signal.aborted) return fail('job/cancelled', 'The calculation was cancelled.')
        }
      }
      context.progress(0.6, 'planning and standing')
      const assessed = assessFully(document, bones.value, fileWarnings, depth, held)
      if (!assessed.ok) return assessed
      const { findings, anatomy, plan, maps } = assessed.value
      const standing = findings.stance.find((stance) => stance.pose === document.stance.pose)
      const drawing = standing
        ? stanceDrawing({
            standing,
            side: findings.side,
            femur: anatomy.femur,
            tibia: anatomy.tibia,
            femurMesh: bones.value.femur.mesh,
            tibiaMesh: bones.value.tibia.mesh,
            tray: plan.tray,
            other: ofThisCase(other, document),
          })
        : null
      const anatomyId = anatomyName(anatomy)
      const known = anatomyId === knownAnatomy
      const light = drawing && lightDrawing(drawing)
      for (const { femur, tibia } of light?.legs ?? [])
        for (const { points } of [femur, tibia]) context.transfer(points.buffer)
      return ok({
        findings,
        drawing: light,
        anatomyId,
        anatomy: known ? null : { femur: anatomy.femur, tibia: anatomy.tibia },
        plan,
        maps,
        depth,
      })
    },
    'plan-parts': ({ meshes, plan, shown }, context) => {
      const bones = bonesOf(shelf, { meshes })
      if (!bones.ok) return bones
      const made: Partial<Record<BoneName, BoneParts>> = {}
      for (const bone of ['tibia', 'femur'] as const) {
        const key = partsKey(plan, bone, meshKey(meshes[bone]!))
        if (key === shown?.[bone]) made[bone] = { key, parts: null }
        else {
          const cut = piecesOf(plan, bone, bones.value[bone])
          if (!cut.ok) return cut
          made[bone] = { key, parts: boneParts(plan, bone, cut.value) }
        }
        for (const { display } of made[bone].parts ?? []) {
          context.transfer(display.positions.buffer)
          context.transfer(display.normals.buffer)
        }
      }
      return ok({ femur: made.femur!, tibia: made.tibia! })
    },
    'compare-recipes': ({ document, fileWarnings, asRecipesSay }, context) => {
      const bones = bonesOf(shelf, document)
      if (!bones.ok) return bones
      const onRecipe = (recipe: RecipeName, k: number) => context.progress(k / recipeNames.length, recipe)
      return ok({ recipes: compareRecipes(document, bones.value, fileWarnings, { asRecipesSay, onRecipe }) })
    },
    achieved: (input, context) => compareAchieved(shelf, input, context),
    'measure-companions': (input) => companionsBesideKnee(shelf, input),
    'measure-other-leg': (input, context) => measureOther(shelf, input, context),
    'hold-other-leg': ({ bones }) => {
      other = bones
      return ok(null)
    },
    'saw-off': async ({ document, draws }, context) => {
      const bones = bonesOf(shelf, document)
      if (!bones.ok) return bones
      const steps = sawOff(document, bones.value, draws)
      for (;;) {
        const step = steps.next()
        if (step.done) return step.value
        context.progress(step.value, `${Math.round(100 * step.value)} % of the draws`)
        await messagesThrough()
        if (context.signal.aborted) return fail('job/cancelled', 'The study was cancelled.')
      }
    },
    'load-series': ({ document, moments }) => {
      const bones = bonesOf(shelf, document)
      return bones.ok ? runLoadSeries(document, bones.value, moments) : bones
    },
    'read-profile': readProfile,
    'sweep-row': ({ document, vary, point }) => {
      const bones = bonesOf(shelf, document)
      return bones.ok ? ok({ row: sweepRow(document, bones.value, vary, point) }) : bones
    },
    'sweep-assumptions': ({ document }) => {
      const bones = bonesOf(shelf, document)
      return bones.ok ? ok({ assumptions: sweepAssumptions(document, bones.value) }) : bones
    },
    'cut-section': ({ meshes, plan, cut, right, up }) => {
      const bones = bonesOf(shelf, { meshes })
      return bones.ok ? cutSection(plan, bones.value, cut, { right, up }) : bones
    },
    'thickness-map': (input) => thicknessOfPiece(shelf, input),
    'find-level': ({ document }) => {
      const bones = bonesOf(shelf, document)
      if (!bones.ok) return bones
      const level = findLevelCut(document, bones.value)
      return level.ok ? ok({ level: level.value }) : level
    },
    'write-case': writeCase,
    pick: ({ key, origin, direction, snap }) => {
      const held = shelf.get(key)
      if (!held) return fail('case/mesh-missing', 'That bone is not open.')
      const point = firstHit(held.tree, origin, direction)?.point ?? null
      if (!point || !snap) return ok({ point })
      const snapped = snapOnSurface(held.tree, point, snap)
      return snapped.ok ? ok({ point: snapped.value }) : snapped
    },
    'fit-on-bone': (input) => fitOnBone(shelf, input),
    'drive-cut': (input) => driveCut(shelf, input),
  }
}

/** The held bones of the other leg, if they are those that the case was measured with. */
const ofThisCase = (bones: OtherLegBones | null, { stance }: CaseDocument): OtherLegBones | null =>
  bones !== null && stance.other !== null && bones.files.join() === stance.other.files.join() ? bones : null

/** A name for each object, the same for the same one, and none that another worker gives. */
function namesOf<T extends object>(): (thing: T) => string {
  const own = globalThis.crypto.randomUUID()
  const names = new WeakMap<T, string>()
  let count = 0
  return (thing) => {
    const known = names.get(thing) ?? `${own} ${++count}`
    names.set(thing, known)
    return known
  }
}

/** Gives a waiting cancel its turn. */
const messagesThrough = () => new Promise<void>((resolve) => setTimeout(resolve, 0))
const bonesKey = ({ meshes }: Pick<CaseDocument, 'meshes'>): string =>
  [meshes.femur, meshes.tibia].map((mesh) => (mesh ? meshKey(mesh) : '-')).join(' ')
