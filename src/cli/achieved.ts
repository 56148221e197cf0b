import { basename } from 'node:path'
import type { BoneName } from '../anatomy/terms.ts'
import { assessFully } from '../assess.ts'
import { boneFromBytes } from '../casefile/bone-from-bytes.ts'
import { caution } from '../casefile/program.ts'
import type { Result } from '../failure.ts'
import { type LengthUnit, MM_PER_UNIT } from '../geometry/units.ts'
import { type AchievedOnBone, achievedOnBone } from '../planning/achieved-in-frame.ts'
import { achievedRows, registrationWords } from '../report/achieved.ts'
import { cutWords } from '../report/words.ts'
import { type CaseOptions, openCase } from './case-source.ts'
import { readBytes } from './files.ts'
import { headLine } from './findings-text.ts'
import { textTable } from './text-table.ts'

export interface AchievedOptions {
  readonly after: string
  readonly bone: BoneName
  readonly afterUnit?: LengthUnit
  readonly sameFrame?: boolean
}

/** Planned against achieved for a case and a file of one bone after the cuts. */
export async function achievedCase(
  caseFile: string | undefined,
  options: CaseOptions & AchievedOptions,
): Promise<Result<AchievedOnBone>> {
  const { after, bone, afterUnit, sameFrame } = options
  const bytes = readBytes(after)
  if (!bytes.ok) return bytes
  const factor = afterUnit === undefined ? null : MM_PER_UNIT[afterUnit]
  const resected = boneFromBytes(bytes.value, basename(after), factor)
  if (!resected.ok) return resected
  const opened = await openCase(caseFile, options)
  if (!opened.ok) return opened
  const assessed = assessFully(opened.value.document, opened.value.bones)
  if (!assessed.ok) return assessed
  const { plan, anatomy } = assessed.value
  const before = opened.value.bones[bone]
  return achievedOnBone(plan, anatomy, { bone, before }, resected.value.bone.mesh, sameFrame === true)
}

/** The document `floorline.achieved/1`: achieved less planned, more taken positive. */
export const achievedDocument = ({ bone, registration, cuts, missing }: AchievedOnBone) => ({
  schema: 'floorline.achieved/1',
  caution,
  bone,
  registration,
  cuts,
  missing,
})

/** One line per cut, the registration before them. */
export function achievedText(achieved: AchievedOnBone): string {
  const columns = [
    { title: 'cut' },
    { title: 'achieved less planned' },
    { title: 'taken more at its sites' },
    { title: 'face' },
  ]
  const rows = achievedRows(achieved).map(({ cut, angles, deeper, face }) => [cut, angles, deeper, face])
  const missing = achieved.missing.map((id) => `  ${cutWords[id]}: no flat face was found near the plan\n`).join('')
  return `${headLine()}PLANNED AGAINST ACHIEVED, ${achieved.bone.toUpperCase()}\n\n  ${registrationWords(achieved)}\n\n${textTable(columns, rows)}${missing}`
}
