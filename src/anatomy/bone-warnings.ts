import type { Warning } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import type { BoneName, FemurAnatomy } from './terms.ts'

/**
 * What the surfaces and the femur's shape do not tell: no inside (the volume is withheld), no head, no condylar cylinder. Empty when all
 * of it is there; each names the findings it spoils.
 */
export function boneWarnings(bones: Readonly<Record<BoneName, BoneMesh>>, femur: FemurAnatomy): readonly Warning[] {
  const open = (['femur', 'tibia'] as const).filter((name) => bones[name].volumeMm3 === null)
  const warnings: Warning[] = open.map((name) => ({
    code: 'mesh/open',
    message: `The ${name} is open and its faces give it no inside: its volume is withheld.`,
    spoils: [`bones.${name}.volumeMm3`, `bones.${name}.volumeBoundMm3`],
  }))
  const hip = femur.landmarks.hipCentre
  if (!femur.head && hip?.from === undefined)
    warnings.push({
      code: 'anatomy/no-head',
      message: 'No femoral head was found on the mesh.',
      spoils: ['fits.femoralHead', ...(hip ? [] : ['landmarks.hipCentre'])],
    })
  if (!femur.condylarCylinder)
    warnings.push({
      code: 'anatomy/no-cylinder',
      message: 'No cylinder could be fitted to the posterior condyles.',
      spoils: ['fits.condylarCylinder'],
    })
  if (!femur.shape?.groove)
    warnings.push({
      code: 'anatomy/shape',
      message: 'The trochlear groove is not on the mesh, or cannot be followed between two ridges.',
      spoils: ['shape.trochlearGroove'],
    })
  if (!femur.shape?.bow)
    warnings.push({
      code: 'anatomy/shape',
      message: 'The shaft of the femur is not on the mesh from a fifth to four fifths of its length: no bow is told.',
      spoils: ['shape.femoralBow'],
    })
  return warnings
}
