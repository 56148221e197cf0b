import type { BoneName } from '../anatomy/terms.ts'
import type { Mesh } from '../geometry/mesh.ts'
import { type Plane, signedDistance } from '../geometry/plane.ts'
import { mapMesh } from '../geometry/transform.ts'
import type { Vec3 } from '../geometry/vec.ts'
import type { Plan } from '../planning/planned.ts'
import type { CutId } from '../planning/terms.ts'
import { type DisplayMesh, displayMesh } from './display-mesh.ts'
import { lightMesh } from './light-mesh.ts'

/** One thing to look at in the planned knee, in the patient frame of its bone. */
export interface PlanPart {
  readonly id: string
  readonly bone: BoneName
  readonly kind: 'kept' | 'removed' | 'component'
  readonly display: DisplayMesh
  /** Unit direction in which a removed piece lifts off; null for what stays. */
  readonly lift: Vec3 | null
}

export interface PlanParts {
  readonly parts: readonly PlanPart[]
}

export interface Piece {
  readonly id: string
  readonly bone: BoneName
  readonly mesh: Mesh
}

/** Meshes of the kept bones, the removed pieces and the components, ready to be drawn. */
export function planParts(plan: Plan, pieces: readonly Piece[]): PlanParts {
  const planes = new Map<CutId, Plane>()
  for (const cut of plan.cuts) if (cut.point && cut.normal) planes.set(cut.id, { point: cut.point, normal: cut.normal })
  const planesOf = (bone: BoneName) =>
    plan.cuts.filter((cut) => cut.bone === bone).flatMap((cut) => planes.get(cut.id) ?? [])
  const bones = pieces.map(({ id, bone, mesh }): PlanPart => {
    const own = plan.cuts.find((cut) => id.endsWith(cut.id))
    const removed = !id.includes('kept')
    const normal = removed && own?.normal ? own.normal : null
    return {
      id,
      bone,
      kind: removed ? 'removed' : 'kept',
      display: lightMesh(mesh, { onCut: (light) => liesOn(light, planesOf(bone)) }),
      lift: normal ? [-normal[0], -normal[1], -normal[2]] : null,
    }
  })
  const components = plan.components.map(
    ({ id, bone, mesh, patientFromComponent }): PlanPart => ({
      id,
      bone,
      kind: 'component',
      display: displayMesh(mapMesh(mesh, patientFromComponent)),
      lift: null,
    }),
  )
  return { parts: [...bones, ...components] }
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
