import type { BoneName } from '../anatomy/terms.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { mapMesh } from '../geometry/transform.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { Piece, PlannedPlanes } from '../planning/pieces.ts'
import type { PlacedComponent } from '../planning/planned.ts'
import { type DisplayMesh, displayMesh } from './display-mesh.ts'
import { lightMesh } from './light-mesh.ts'

/** The part of a plan that is drawn. */
export interface DrawnPlan extends PlannedPlanes {
  readonly components: readonly PlacedComponent[]
}

/** Only that of a plan: everything else would be copied from thread to thread at every step of a pull. */
export const drawnPlan = ({ procedure, femoralBlock, femoralNotch, cuts, components }: DrawnPlan): DrawnPlan => ({
  procedure,
  femoralBlock,
  femoralNotch,
  cuts: cuts.map(({ id, bone, point, normal }) => ({ id, bone, point, normal })),
  components,
})

/** One thing to look at in the planned knee, in the patient frame of its bone. */
export interface PlanPart {
  readonly id: string
  readonly bone: BoneName
  readonly kind: 'kept' | 'removed' | 'component'
  readonly display: DisplayMesh
  /** Unit direction in which a removed piece lifts off; null for what stays. */
  readonly lift: Vec3 | null
}

/** All that is drawn of a plan. */
export interface PlanParts {
  readonly parts: readonly PlanPart[]
  /** What each bone's parts were made from (`partsKey`). */
  readonly keys: Readonly<Record<BoneName, string>>
}

/** What is drawn of one bone; no parts where the asker has those of this key already. */
export interface BoneParts {
  readonly key: string
  readonly parts: readonly PlanPart[] | null
}

/** Meshes of the kept bone, the removed pieces and the component of one bone, ready to be drawn. */
export function boneParts(plan: DrawnPlan, bone: BoneName, pieces: readonly Piece[]): readonly PlanPart[] {
  const own = plan.cuts.filter((cut) => cut.bone === bone)
  const planes = own.flatMap(({ point, normal }): readonly Plane[] => (point && normal ? [{ point, normal }] : []))
  const cut = pieces.map(({ id, mesh }): PlanPart => {
    const normal = own.find((planned) => planned.id === id)?.normal ?? null
    return {
      id,
      bone,
      kind: id === `${bone}-kept` ? 'kept' : 'removed',
      display: lightMesh(mesh, { onCut: (light) => liesOn(light, planes) }),
      lift: normal ? [-normal[0], -normal[1], -normal[2]] : null,
    }
  })
  const components = componentsOf(plan, bone).map(
    ({ id, mesh, patientFromComponent }): PlanPart => ({
      id,
      bone,
      kind: 'component',
      display: displayMesh(mapMesh(mesh, patientFromComponent)),
      lift: null,
    }),
  )
  return [...cut, ...components]
}

/** Tells whether another plan would draw this bone otherwise: a pull on one bone's cut leaves the other bone as it is. */
export function partsKey(plan: DrawnPlan, bone: BoneName, mesh: string): string {
  const planes = plan.cuts.filter((cut) => cut.bone === bone).map(({ id, point, normal }) => [id, point, normal])
  const within = bone === 'femur' ? [plan.femoralBlock, plan.femoralNotch] : [plan.procedure]
  const components = componentsOf(plan, bone).map((component) => [
    component.id,
    component.patientFromComponent,
    component.mesh.triangles.length,
    bitsOf(component.mesh.positions),
  ])
  return JSON.stringify([mesh, planes, within, components])
}

const componentsOf = (plan: DrawnPlan, bone: BoneName) => plan.components.filter((component) => component.bone === bone)

/** One number for many: the order-dependent FNV-1a sum (Fowler, Noll, Vo; IETF draft of 2012) of their bits. */
function bitsOf({ buffer, byteOffset, byteLength }: Float64Array): number {
  let sum = 0x811c9dc5
  for (const word of new Uint32Array(buffer, byteOffset, byteLength / 4)) sum = Math.imul(sum ^ word, 0x01000193)
  return sum >>> 0
}

/** 0.01 mm: wider than rounding at a CT's distance from its origin, narrower than any surface feature. */
const onPlaneMm = 0.01

function liesOn(mesh: Mesh, planes: readonly Plane[]): (triangle: number) => boolean {
  const at = (k: number): Vec3 => {
    const v = 3 * mesh.triangles[k]!
    return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!]
  }
  return (triangle) => {
    const corners = [at(3 * triangle), at(3 * triangle + 1), at(3 * triangle + 2)]
    return planes.some((plane) => corners.every((p) => Math.abs(signedDistance(plane, p)) < onPlaneMm))
  }
}
