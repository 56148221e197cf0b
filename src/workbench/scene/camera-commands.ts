import type { Mesh, Object3D } from 'three'
import { Box3, Matrix4, Vector3 } from 'three'
import { type Side, sideFactor } from '../../anatomy/terms.ts'
import { mapPoint, type Rigid } from '../../geometry/rigid.ts'
import type { CameraRequest, PresetName } from '../store/viewport-slice.ts'
import type { CameraRig } from './camera-rig.ts'
import type { CutSheet } from './cut-sheet.ts'
import { vector } from './rigid-matrix.ts'

/** From the pivot to the eye, in the scene. X is anterior, Y up, Z to the subject's right. */
export function presetDirection(preset: PresetName, side: Side, sheet: CutSheet | null): Vector3 | null {
  const s = sideFactor(side)
  // A turntable cannot look exactly along its axle.
  const tip = 1e-4
  switch (preset) {
    case 'anterior':
      return new Vector3(1, 0, 0)
    case 'posterior':
      return new Vector3(-1, 0, 0)
    case 'medial':
      return new Vector3(0, 0, -s)
    case 'lateral':
      return new Vector3(0, 0, s)
    case 'proximal':
      return new Vector3(tip, 1, 0).normalize()
    case 'distal':
      return new Vector3(tip, -1, 0).normalize()
    case 'along-cut':
      return sheet ? new Vector3(...sheet.v) : null
    case 'onto-cut':
      return sheet
        ? new Vector3(...sheet.normal)
            .negate()
            .addScaledVector(new Vector3(...sheet.v), tip)
            .normalize()
        : null
  }
}

/** Looking onto a level cut from above leaves no horizon: its front edge is up. */
export const presetUp = (preset: PresetName, sheet: CutSheet | null): Vector3 | undefined =>
  preset === 'onto-cut' && sheet && Math.abs(sheet.normal[1]) > 0.8 ? new Vector3(...sheet.v) : undefined

const kneeHeightMm = 250

/** A place on a bone in the middle of the view, seen from outside the bone. */
export function lookAtPlace(
  rig: CameraRig,
  { at, from, sizeMm }: Extract<CameraRequest, { readonly kind: 'place' }>,
  sceneFromBone: Rigid,
): void {
  const target = vector(mapPoint(sceneFromBone, at))
  const direction = target.clone().sub(vector(mapPoint(sceneFromBone, from)))
  // Looking down the turntable's own axle leaves no horizon.
  if (direction.lengthSq() < 1e-6 || Math.abs(direction.y) > 0.97 * direction.length())
    direction.x += direction.length()
  rig.goTo({ target, direction: direction.normalize(), visibleHeight: Math.max(60, 3 * sizeMm) })
}

/** Everything that is drawn, or the knee alone (the scene's origin, or where the sheet is), filling the view. */
export function fitBones(
  rig: CameraRig,
  scene: Object3D,
  what: 'all' | 'knee',
  kneeAt: Vector3,
  direction = rig.direction(),
  onFloor = false,
): void {
  const box = boxOfBones(scene)
  if (onFloor && !box.isEmpty()) box.min.y = Math.min(0, box.min.y)
  if (what === 'knee' || box.isEmpty()) {
    rig.goTo({ target: kneeAt, direction, visibleHeight: kneeHeightMm })
    return
  }
  const centre = box.getCenter(new Vector3())
  const size = box.getSize(new Vector3())
  const upright = Math.abs(direction.y) < 0.7
  const height = upright ? size.y : Math.max(size.x, size.z)
  const width = upright ? Math.hypot(size.x * direction.z, size.z * direction.x) : Math.max(size.x, size.z)
  const free = rig.free()
  const visibleHeight = 1.05 * Math.max(height / free.height, width / (rig.aspect() * free.width))
  rig.goTo({ target: centre, direction, visibleHeight })
}

/** Where a bone will lie when it has come to rest. */
function settledBox({ geometry, matrixWorld, userData }: Mesh): Box3 {
  if (!geometry.boundingBox) geometry.computeBoundingBox()
  const at = userData['at']
  return geometry.boundingBox!.clone().applyMatrix4(at instanceof Matrix4 ? at : matrixWorld)
}

function boxOfBones(scene: Object3D): Box3 {
  const box = new Box3()
  scene.updateMatrixWorld()
  scene.traverse((object) => {
    if (object.userData['bone'] === true && object.visible) box.union(settledBox(object as Mesh))
  })
  return box
}
