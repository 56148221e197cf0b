import { fail, ok, type Result, type Warning } from '../failure.ts'
import type { FemurAnatomy, PatientFrame, Side, TibiaAnatomy } from './terms.ts'

export interface SettledSide {
  readonly side: Side
  readonly sideSource: 'declared' | 'shape' | 'position'
  readonly warnings: readonly Warning[]
}

/**
 * The side of a knee and where it is known from. Each bone's shape tells a side; a declared side is only confirmed. Two
 * bones that contradict each other, or shape against the declared side, are `anatomy/side-contradiction`: one of the
 * files may be mirrored, or belong to the other leg. Two scans too short to tell a side need a declared one
 * (`anatomy/side-unclear`); where one of them tells it, the other was found on that side and a warning says so.
 */
export function settleSide(input: {
  readonly declared: Side | null
  readonly femur: FemurAnatomy
  readonly tibia: TibiaAnatomy
  /** The bone that shows no side of its own and was found on its partner's; null or left out when both do. */
  readonly sidedByPartner?: 'femur' | 'tibia' | null
  readonly frame: PatientFrame
}): Result<SettledSide> {
  const { declared, femur, tibia } = input
  if (femur.sideUnclear && tibia.sideUnclear)
    return fail('anatomy/side-unclear', 'Neither bone shows enough of its shaft to tell a left from a right leg.', {
      hint: 'Say which side it is.',
      place: 'side',
    })
  if (femur.side !== tibia.side)
    return fail(
      'anatomy/side-contradiction',
      `By shape the femur is a ${femur.side} and the tibia a ${tibia.side} bone.`,
      {
        hint: 'One file belongs to the other leg or was mirrored on export.',
        place: 'side',
      },
    )
  if (declared !== null && declared !== femur.side)
    return fail(
      'anatomy/side-contradiction',
      `The case says ${declared}, but by shape these are bones of a ${femur.side} leg.`,
      { hint: 'Correct the side, or check whether the files were mirrored on export.', place: 'side' },
    )
  if (declared !== null) return ok({ side: declared, sideSource: 'declared', warnings: [] })
  const sidedByPartner = input.sidedByPartner ?? null
  const warnings = sidedByPartner === null ? [fromShape] : [fromShape, byPartner(sidedByPartner)]
  return ok({ side: femur.side, sideSource: 'shape', warnings })
}

const fromShape: Warning = {
  code: 'anatomy/side-from-shape',
  message: 'The side was taken from shape; a mirrored export cannot be excluded.',
  spoils: [],
}

const byPartner = (bone: 'femur' | 'tibia'): Warning => ({
  code: 'anatomy/side-from-shape',
  message: `The scan of the ${bone} is too short to tell a left from a right one: its side is that of the ${bone === 'tibia' ? 'femur' : 'tibia'}. Declare the side to be sure.`,
  spoils: [],
})
