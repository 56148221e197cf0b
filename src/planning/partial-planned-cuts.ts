import { boundInside } from '../geometry/bounded-bone.ts'
import { flipped, offsetPlane, type Plane } from '../geometry/plane.ts'
import { volumeInside } from '../geometry/volume-inside.ts'
import { keptOutlines } from './cut-faces.ts'
import type { PartialCuts } from './partial-cuts.ts'
import type { PlanInput } from './plan.ts'
import type { PlannedCut } from './planned.ts'
import { seriesVolumes } from './removed.ts'
import type { SawnFemur } from './sawn-femur.ts'
import { blankCut, faceOf, sawnAngles, seatOf } from './total-cuts.ts'

/** The cuts of a medial partial with volumes and faces; volumes are null for a bone that has no inside. */
export function plannedCuts(
  input: PlanInput,
  cuts: PartialCuts,
  sawn: SawnFemur,
  block: readonly Plane[],
): readonly PlannedCut[] {
  const { femurBone, tibiaBone, choices } = input
  const kerf = choices.saw.kerfMm
  const { horizontal, vertical } = cuts
  const above = flipped(horizontal)
  const medial = flipped(vertical)
  const inside = (...planes: Plane[]) => volumeInside(tibiaBone.tree, planes)
  // The corner comes off in one piece: its slab at the floor counts to the horizontal cut, the rest of the slab at the wall to the vertical.
  const corner = inside(above, medial)
  const overFloor = inside(offsetPlane(above, kerf), medial)
  const piece = inside(offsetPlane(above, kerf), offsetPlane(medial, kerf))
  const slabAtWall = overFloor - piece
  const cornerBoundMm3 = boundInside(tibiaBone, [above, medial])
  const wallBoundMm3 = boundInside(tibiaBone, [offsetPlane(above, kerf), medial, offsetPlane(vertical, -kerf)])
  const floor =
    cornerBoundMm3 === null || wallBoundMm3 === null
      ? null
      : {
          removedMm3: corner - slabAtWall,
          removedBoundMm3: Math.max(0, cornerBoundMm3 - wallBoundMm3),
          kerfMm3: corner - overFloor,
          pieceMm3: piece,
        }
  const wall =
    wallBoundMm3 === null
      ? null
      : { removedMm3: slabAtWall, removedBoundMm3: wallBoundMm3, kerfMm3: slabAtWall, pieceMm3: 0 }
  const depth = (id: string) => [...cuts.sites.slice(0, 1), ...sawn.sites].find((s) => s.id === id)?.distanceMm ?? null
  const { planes, faces } = sawn
  const { valgusDeg, flexionDeg, externalRotationDeg } = sawnAngles(input, sawn)
  const series = seriesVolumes(femurBone, planes, block, kerf)
  const outlineOf = keptOutlines(femurBone)
  const femur = (i: number): PlannedCut => {
    const { id } = faces[i]!
    const plane = planes[i]!
    const within = [...block, ...planes.slice(0, i)]
    return {
      ...blankCut(id, plane, series?.[i] ?? null),
      ...faceOf(femurBone, plane, within, series?.[i] ?? null, outlineOf),
      ...seatOf(femurBone, faces[i]!, plane, within, choices.cuts.departures[id], outlineOf),
    }
  }
  return [
    {
      ...blankCut('tibia', horizontal, floor),
      varusDeg: cuts.varusDeg,
      slopeDeg: cuts.slopeDeg,
      rotationDeg: cuts.rotationDeg,
      depthMm: depth('tibia-medial'),
      ...faceOf(tibiaBone, horizontal, [medial], floor),
    },
    {
      ...blankCut('tibia-vertical', vertical, wall),
      rotationDeg: cuts.rotationDeg,
      depthMm: cuts.verticalMm,
      ...faceOf(tibiaBone, vertical, [above], wall),
      // What lies beyond its own slab belongs to the horizontal cut.
      greatestMm: kerf,
    },
    { ...femur(0), valgusDeg, flexionDeg, depthMm: depth('femur-distal-medial') },
    { ...femur(1), externalRotationDeg, depthMm: depth('femur-posterior-medial') },
    femur(2),
  ]
}
