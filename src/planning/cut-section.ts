import { fail, ok, type Result } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { flipped, offsetPlane, type Plane } from '../geometry/plane.ts'
import { loopMeasures, section } from '../geometry/section.ts'
import { mapMesh } from '../geometry/transform.ts'
import { buildTree } from '../geometry/tree.ts'
import { dot, reject, sub, unit, type Vec3 } from '../geometry/vec.ts'
import { cutFaceLoops } from './cut-faces.ts'
import type { Plan } from './planned.ts'
import { distanceOutside, type Outline, signedArea } from './polygon.ts'
import type { CutId, FemoralCutId } from './terms.ts'

/** A point of an outline and how far it lies off the other outline. */
export interface Farthest {
  readonly at: readonly [number, number]
  readonly mm: number
}

/** The face of one cut seen square on: mm about the face's centre, the viewer's right and up. */
export interface CutSection {
  readonly cut: CutId
  /** Outer outlines and holes; holes run the other way round. */
  readonly bone: readonly Outline[]
  readonly areaMm2: number
  /** Outlines of the component where it lies on the face. */
  readonly component: readonly Outline[]
  /** Where the component stands farthest beyond the bone; null where it nowhere does. */
  readonly overhang: Farthest | null
  /** Where the bone's edge lies farthest beyond the component; null where it nowhere does. */
  readonly gap: Farthest | null
}

/** Into the component, where its bone-side face is cut, mm. */
const intoComponentMm = 0.5

/**
 * The face of a planned cut as it is sawn (after the cuts before it, within the block), with the outline of the component that
 * is laid on it. `right` and `up` are the viewer's directions in the bone's patient frame, brought into the plane. A cut that is
 * not planned or misses the bone: `cut/misses-bone`.
 */
export function cutSection(
  plan: Plan,
  bones: { readonly femur: BoneMesh; readonly tibia: BoneMesh },
  cut: CutId,
  { right, up }: { readonly right: Vec3; readonly up: Vec3 },
): Result<CutSection> {
  const planned = plan.cuts.find(({ id }) => id === cut)
  if (!planned?.point || !planned.normal) return fail('cut/misses-bone', 'This cut is not planned.')
  const plane: Plane = { point: planned.point, normal: planned.normal }
  const loops = cutFaceLoops(bones[planned.bone], plane, boundsOf(plan, cut))
  const { areaMm2, centroid } = loopMeasures(loops, plane)
  if (!centroid) return fail('cut/misses-bone', 'This cut does not meet the bone.')
  const across = unit(reject(right, plane.normal))
  const along = unit(reject(reject(up, plane.normal), across))
  const flat = (loop: readonly Vec3[]): Outline =>
    loop.map((p) => {
      const d = sub(p, centroid)
      return [dot(d, across), dot(d, along)]
    })
  const bone = loops.map(flat)
  const face = planned.bone === 'femur' ? plan.femoralFaces[cut as FemoralCutId] : undefined
  const component = componentLoops(plan, planned.bone, face ?? plane).map(flat)
  const turn = Math.sign(signedArea(largest(bone)))
  const outer = (outline: Outline) => Math.sign(signedArea(outline)) === turn
  return ok({
    cut,
    bone,
    areaMm2: Math.abs(areaMm2),
    component,
    overhang: component.length > 0 ? farthest(component.flat(), bone.filter(outer)) : null,
    gap: component.length > 0 ? farthest(bone.filter(outer).flat(), component) : null,
  })
}

/** What bounds a face besides the bone: the block, and the cuts made before it. */
function boundsOf(plan: Plan, cut: CutId): readonly Plane[] {
  const planes = plan.cuts.flatMap(({ id, bone, point, normal }) =>
    point && normal ? [{ id, bone, point, normal }] : [],
  )
  const other = (id: CutId) => planes.filter((plane) => plane.id === id).map(flipped)
  // The two tibial cuts of a partial bound each other.
  if (cut === 'tibia') return other('tibia-vertical')
  if (cut === 'tibia-vertical') return other('tibia')
  const femoral = planes.filter(({ bone }) => bone === 'femur')
  const before = femoral.slice(
    0,
    femoral.findIndex(({ id }) => id === cut),
  )
  return [plan.femoralBlock, ...(plan.femoralNotch ? [plan.femoralNotch] : []), ...before]
}

function componentLoops(plan: Plan, bone: 'femur' | 'tibia', plane: Plane): readonly (readonly Vec3[])[] {
  if (bone === 'tibia') return Math.abs(dot(plane.normal, plan.tray.normal)) > 0.9 ? [plan.tray.outline] : []
  return plan.components
    .filter((component) => component.bone === bone)
    .flatMap(({ mesh, patientFromComponent }) => {
      const tree = buildTree(mapMesh(mesh, patientFromComponent))
      return section(tree, offsetPlane(plane, -intoComponentMm)).loops
    })
}

const largest = (outlines: readonly Outline[]): Outline =>
  outlines.reduce<Outline>((best, o) => (Math.abs(signedArea(o)) > Math.abs(signedArea(best)) ? o : best), [])

/** The point that lies farthest outside all of these outlines. */
function farthest(points: Outline, outside: readonly Outline[]): Farthest | null {
  let most: Farthest | null = null
  for (const at of points) {
    const mm = Math.min(...outside.map((outline) => distanceOutside(outline, at[0], at[1])))
    if (mm > (most?.mm ?? 0)) most = { at, mm }
  }
  return most
}
