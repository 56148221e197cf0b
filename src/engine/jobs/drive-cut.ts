import { planInput } from '../../assess.ts'
import { findAnatomy } from '../../casefile/case-anatomy.ts'
import { parseCase } from '../../casefile/schema.ts'
import { ok, type Result } from '../../failure.ts'
import { overridesFromAxis, overridesFromPlane } from '../../planning/drive.ts'
import { type BoneShelf, bonesOf } from '../bone-shelf.ts'
import type { JobInput, JobOutput } from '../contract.ts'

/** Overrides that make a fitted plane or axis the cut. */
export function driveCut(
  shelf: BoneShelf,
  { document, cut, by }: JobInput<'drive-cut'>,
): Result<JobOutput<'drive-cut'>> {
  const bones = bonesOf(shelf, document)
  if (!bones.ok) return bones
  const anatomy = findAnatomy(document, bones.value)
  if (!anatomy.ok) return anatomy
  const input = planInput(document, bones.value, anatomy.value)
  const cuts =
    by.kind === 'plane' ? overridesFromPlane(input, cut, by.plane) : overridesFromAxis(input, cut, by.direction)
  if (!cuts.ok) return cuts
  const within = parseCase({ ...document, cuts: cuts.value })
  return within.ok ? ok({ cuts: within.value.cuts }) : within
}
