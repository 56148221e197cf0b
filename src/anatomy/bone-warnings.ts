import type { Warning } from '../failure.ts'
import type { BoneMesh } from '../geometry/bone.ts'
import { outerSurface } from './outer-surface.ts'
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
  for (const name of ['femur', 'tibia'] as const) {
    const { islands, inner } = outerSurface(bones[name])
    if (islands + inner === 0) continue
    const left = [
      ...(inner > 0 ? [inner === 1 ? 'a surface inside it' : `${inner} surfaces inside it`] : []),
      ...(islands > 0 ? [islands === 1 ? 'a loose small piece' : `${islands} loose small pieces`] : []),
    ]
    warnings.push({
      code: 'anatomy/outer-surface',
      message: `Landmarks of the ${name} are looked for on its outer surface: ${left.join(' and ')} left out.`,
      spoils: [],
    })
  }
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
